import { soundPrint, type SoundPrint } from '../../../src/hearing/sound-print.ts';
import { createResampler } from '../../../src/hearing/resampler.ts';
import { cachedFlite } from '../../../src/cli/assets/cached-flite.ts';
import { mixTrack } from '../../../src/cli/operator/operator-sound.ts';
import { SAMPLE_RATE } from '../../../src/units/time.ts';
import { between, type Random } from '../silent-pass/random.ts';

const SENTENCES = [
  'primary one two five, secondary one two four',
  'brakes released, settled',
  'engine started',
  'both at eighty five',
];
const VOICES = ['slt', 'rms', 'awb'] as const;
const flite = cachedFlite();

/** A sentence as a person would say it once more: its parts a little faster or slower, higher or lower. 16 kHz. */
async function said(text: string, voice: (typeof VOICES)[number], random: Random): Promise<Float32Array> {
  const { samples, rate } = await flite.speak(text, voice);
  const parts = Array.from({ length: 4 }, (_, nth) => {
    const part = samples.subarray((nth * samples.length) / 4, ((nth + 1) * samples.length) / 4);
    // Whole hundreds keep the resampler small.
    return createResampler(100 * Math.round((rate / 100) * between(random, 0.93, 1.07))).push(part);
  });
  const whole = new Float32Array(parts.reduce((sum, { length }) => sum + length, 0));
  parts.reduce((at, part) => (whole.set(part, at), at + part.length), 0);
  return whole;
}

interface Cab {
  /** Speech above the engine, dB; absent: engine off. */
  readonly snr?: number;
}

function inCab(words: Float32Array, { snr }: Cab, random: Random): Float32Array {
  const length = (words.length * 1000) / SAMPLE_RATE + 500;
  const noise = {
    floorDb: between(random, -62, -50),
    seed: Math.floor(random() * 2 ** 32),
    ...(snr === undefined ? {} : { dieselSnrDb: snr }),
  };
  return mixTrack([{ at: between(random, 100, 400), samples: words }], length, noise);
}

/** The same clip, not bit for bit: cut elsewhere, softer or louder, and with a little noise of its own. */
function copied(clip: Float32Array, random: Random): Float32Array {
  const from = Math.floor(between(random, 0, 0.15 * SAMPLE_RATE));
  const gain = between(random, 0.4, 0.9);
  return clip.subarray(from).map((sample) => gain * sample + 0.002 * (2 * random() - 1));
}

export interface Sounds {
  readonly voice: string;
  readonly text: string;
  /** Each said anew. */
  readonly anew: readonly SoundPrint[];
  /** Copies of the first of them. */
  readonly copies: readonly SoundPrint[];
  readonly engineOff: readonly SoundPrint[];
  /** Nobody says anything; engine on. */
  readonly silent: readonly SoundPrint[];
}

/** Clips of each sentence by each voice, over an engine so many dB below the words. */
export async function sounds(times: number, snr: number, random: Random): Promise<Sounds[]> {
  const all: Sounds[] = [];
  for (const voice of VOICES) {
    for (const text of SENTENCES) {
      const clips: Float32Array[] = [];
      const off: Float32Array[] = [];
      for (let nth = 0; nth < times; nth += 1) {
        clips.push(inCab(await said(text, voice, random), { snr }, random));
        off.push(inCab(await said(text, voice, random), {}, random));
      }
      const prints = (list: readonly Float32Array[]): SoundPrint[] => list.flatMap((clip) => soundPrint(clip) ?? []);
      const [first = new Float32Array()] = clips;
      const nobody = clips.map((clip) => inCab(new Float32Array(clip.length - 8000).fill(1e-6), { snr }, random));
      all.push({
        voice,
        text,
        anew: prints(clips),
        copies: prints(clips.map(() => copied(first, random))),
        engineOff: prints(off),
        silent: prints(nobody),
      });
    }
  }
  return all;
}
