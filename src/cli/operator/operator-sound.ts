import { msToSamples, SAMPLE_RATE, type Ms } from '../../units/time.ts';

const FRAME_MS = 5;
/**
 * A frame belongs to the words when it is within this of the loudest one, in dB. Words begin softly (the h of "hundred");
 * after them the voices die away, with nothing said below the second level.
 */
const ONSET_DB = -40;
const END_DB = -35;

/** Where the words of a clip begin and end, in ms from its start, by the energy of 5 ms frames. */
export function speechEdges(samples: Float32Array, rate: number): { readonly onset: Ms; readonly end: Ms } {
  const frame = Math.round((rate * FRAME_MS) / 1000);
  const energies: number[] = [];
  for (let at = 0; at < samples.length; at += frame) energies.push(power(samples.subarray(at, at + frame)));
  const loudest = energies.reduce((most, energy) => Math.max(most, energy), 0);
  const within =
    (db: number) =>
    (energy: number): boolean =>
      energy > 0 && energy >= loudest * 10 ** (db / 10);
  const first = energies.findIndex(within(ONSET_DB));
  const last = energies.findLastIndex(within(END_DB));
  return { onset: Math.max(0, first) * FRAME_MS, end: (last + 1) * FRAME_MS };
}

/** Mean power of samples of +-1; 0 for none. */
export function power(samples: Float32Array): number {
  let sum = 0;
  for (const sample of samples) sum += sample * sample;
  return samples.length === 0 ? 0 : sum / samples.length;
}

/** A clip and the time of its first sample. */
export interface PlacedClip {
  readonly at: Ms;
  readonly samples: Float32Array;
}

export interface CabNoise {
  /** Level of the even noise floor, dB relative to full scale. Digital silence would be no cab. */
  readonly floorDb: number;
  /** A synthetic diesel at idle this many dB below the speech; none when absent. */
  readonly dieselSnrDb?: number;
  /** Equal seeds give equal noise. */
  readonly seed: number;
}

/** Level of the operator's words, dB relative to full scale. */
const SPEECH_DB = -22;

/** Puts clips on a track of `length` ms at 16 kHz, levelled to -22 dBFS, over cab noise. */
export function mixTrack(clips: readonly PlacedClip[], length: Ms, noise: CabNoise): Float32Array {
  const track = new Float32Array(msToSamples(length));
  const spoken = clips.reduce((sum, clip) => sum + clip.samples.length, 0);
  const energy = clips.reduce((sum, clip) => sum + power(clip.samples) * clip.samples.length, 0);
  const gain = energy === 0 ? 1 : Math.sqrt(10 ** (SPEECH_DB / 10) / (energy / spoken));
  for (const clip of clips) {
    const start = msToSamples(clip.at);
    clip.samples.forEach((sample, i) => {
      const at = start + i;
      if (at >= 0 && at < track.length) track[at] = (track[at] ?? 0) + sample * gain;
    });
  }
  const random = seeded(noise.seed);
  const floor = Math.sqrt(3 * 10 ** (noise.floorDb / 10));
  const diesel = noise.dieselSnrDb === undefined ? undefined : dieselIdle(track.length, random);
  const dieselGain =
    diesel === undefined ? 0 : Math.sqrt(10 ** ((SPEECH_DB - (noise.dieselSnrDb ?? 0)) / 10) / power(diesel));
  for (let i = 0; i < track.length; i += 1) {
    const sample = (track[i] ?? 0) + floor * (2 * random() - 1) + dieselGain * (diesel?.[i] ?? 0);
    track[i] = Math.max(-1, Math.min(1, sample));
  }
  return track;
}

/** Firing frequency of a six-cylinder four-stroke at 700 rpm, in Hz: three firings a turn. */
const FIRING_HZ = (700 / 60) * 3;
const HARMONICS = 40;

/**
 * A made-up diesel at idle: harmonics of the firing frequency that fall with their number and wander a little, and
 * noise that rolls off above some 500 Hz. Not measured in a cab.
 */
function dieselIdle(length: number, random: () => number): Float32Array {
  const sound = new Float32Array(length);
  const phases = Array.from({ length: HARMONICS }, () => random() * 2 * Math.PI);
  let turn = 0;
  let wander = 0;
  let rumble = 0;
  for (let i = 0; i < length; i += 1) {
    wander = 0.9995 * wander + 0.0005 * (2 * random() - 1);
    turn += (2 * Math.PI * FIRING_HZ * (1 + wander)) / SAMPLE_RATE;
    rumble += 0.18 * (2 * random() - 1 - rumble);
    let sample = 1.5 * rumble;
    for (let h = 0; h < HARMONICS; h += 1) sample += Math.sin(turn * (h + 1) + (phases[h] ?? 0)) / (h + 2);
    sound[i] = sample;
  }
  return sound;
}

/** Mulberry32 (public domain, T. Ettinger): small, and the same on every machine. */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}
