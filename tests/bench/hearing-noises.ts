import { SAMPLE_RATE } from '../../src/units/time.ts';
import { diesel, dieselIdle, joined, noiseSource, rms, silence } from '../unit/hearing/signals.ts';
import { speak } from '../unit/hearing/voice.ts';
import { otherSentence, picker } from './hearing-material.ts';

/** Noises of a cab, all made up: no recording of a cab exists yet. */
export const NOISES = ['diesel idle', 'high idle', 'fan', 'air hiss', 'radio', 'buzzer'] as const;
export type Noise = (typeof NOISES)[number];

/** So many samples of a noise; the same for the same seed. */
export async function noise(of: Noise, samples: number, seed: number): Promise<Float32Array> {
  if (of === 'radio') return radio(samples, seed);
  if (of === 'diesel idle') return dieselIdle(samples, seed);
  // Three firings a turn of a six-cylinder engine at 1,500 rpm.
  if (of === 'high idle') return diesel(samples, seed, 75);
  const random = noiseSource(seed);
  return { fan, 'air hiss': hiss, buzzer }[of](samples, random);
}

/** A blower: air that falls above some 600 Hz, and the tone of its blades with one overtone. */
function fan(samples: number, random: () => number): Float32Array {
  const hz = 230 + 30 * random();
  let air = 0;
  return Float32Array.from({ length: samples }, (_, n) => {
    air += 0.22 * (random() - air);
    const turn = (2 * Math.PI * hz * n) / SAMPLE_RATE;
    return air + 0.06 * Math.sin(turn) + 0.03 * Math.sin(2 * turn);
  });
}

/** Air that escapes: noise that grows with frequency, and swells a little. */
function hiss(samples: number, random: () => number): Float32Array {
  let before = 0;
  return Float32Array.from({ length: samples }, (_, n) => {
    const white = random();
    const high = white - 0.7 * before;
    before = white;
    return high * (1 + 0.3 * Math.sin((2 * Math.PI * n) / (1.7 * SAMPLE_RATE)));
  });
}

/** A low-air buzzer: a square wave of 400 Hz, over a little air. */
function buzzer(samples: number, random: () => number): Float32Array {
  const hz = 400 + 40 * random();
  return Float32Array.from(
    { length: samples },
    (_, n) => (((2 * hz * n) / SAMPLE_RATE) % 2 < 1 ? 0.2 : -0.2) + 0.02 * random(),
  );
}

/** Traffic of a radio: sentences in voices that no operator of the bench has, through a speaker of 300 to 3,000 Hz, with squelch between. */
async function radio(samples: number, seed: number): Promise<Float32Array> {
  const pick = picker(seed);
  const random = noiseSource(seed);
  const parts: Float32Array[] = [];
  for (let length = 0; length < samples;) {
    const words = await speak(otherSentence(pick), pick(2) === 0 ? 'slt' : 'kal16');
    const squelch = Float32Array.from({ length: SAMPLE_RATE / 5 }, () => 0.5 * rms(words) * random());
    const part = joined(words, squelch, silence(100 + pick(500)));
    length += part.length;
    parts.push(part);
  }
  return speaker(joined(...parts).subarray(0, samples));
}

/** One pole from below and two from above. */
function speaker(sound: Float32Array): Float32Array {
  const low = 1 - Math.exp((-2 * Math.PI * 300) / SAMPLE_RATE);
  const high = 1 - Math.exp((-2 * Math.PI * 3_000) / SAMPLE_RATE);
  let [under, once, twice] = [0, 0, 0];
  return sound.map((x) => {
    under += low * (x - under);
    once += high * (x - under - once);
    twice += high * (once - twice);
    return twice;
  });
}
