import FFT from 'fft.js';
import { SAMPLE_RATE } from '../units/time.ts';

/** What tells one sound from another, small enough to keep for thousands of clips. */
export interface SoundPrint {
  /** Sixteen bits each 16 ms: how the levels of neighbouring bands rise against each other. */
  readonly bits: Uint16Array;
  /** How far the loudest tenth stands above the quietest, 300 to 3400 Hz, in dB: speech does by far, a steady noise does not. */
  readonly speech: number;
  /** The quietest tenth below 300 Hz, in dB re full scale: where an engine rumbles. */
  readonly rumble: number;
}

/** Long frames that overlap almost whole, so that it does not matter where the sound was cut. */
const FRAME = 2048;
const HOP = 256;
const BANDS = 17;
/** Bands of even width on a logarithmic scale. */
const FROM_HZ = 300;
const TO_HZ = 4000;
const RUMBLE_HZ = [60, 300] as const;
const SPEECH_HZ = [300, 3400] as const;
/** Shorter ones hold too little to compare. */
const LEAST_FRAMES = 24;
/** Two cuts of one sound begin within so much of each other. */
const MOST_SHIFT = 24;

/**
 * The print of a sound of 16 kHz (after Haitsma and Kalker 2002, "A Highly Robust Audio Fingerprinting System": the sign of the change,
 * from frame to frame, of the difference between neighbouring bands; their frames are longer). Undefined of one below half a second.
 */
export function soundPrint(samples: Float32Array): SoundPrint | undefined {
  const frames = Math.floor((samples.length - FRAME) / HOP) + 1;
  if (frames - 1 < LEAST_FRAMES) return undefined;
  const fft = new FFT(FRAME);
  const spectrum = fft.createComplexArray() as number[];
  const windowed = new Array<number>(FRAME).fill(0);
  const bits = new Uint16Array(frames - 1);
  const speech: number[] = [];
  const rumble: number[] = [];
  let before: readonly number[] | undefined;
  for (let frame = 0; frame < frames; frame += 1) {
    for (let n = 0; n < FRAME; n += 1) windowed[n] = (WINDOW[n] ?? 0) * (samples[frame * HOP + n] ?? 0);
    fft.realTransform(spectrum, windowed);
    const energies = EDGES.slice(1).map((to, band) => energy(spectrum, EDGES[band] ?? 0, to));
    speech.push(energy(spectrum, bin(SPEECH_HZ[0]), bin(SPEECH_HZ[1])));
    rumble.push(energy(spectrum, bin(RUMBLE_HZ[0]), bin(RUMBLE_HZ[1])));
    const steps = energies.slice(1).map((each, band) => each - (energies[band] ?? 0));
    const last = before;
    if (last !== undefined)
      bits[frame - 1] = steps.reduce((word, step, band) => (step > (last[band] ?? 0) ? word | (1 << band) : word), 0);
    before = steps;
  }
  return { bits, speech: quantile(speech, 0.9) - quantile(speech, 0.1), rumble: quantile(rumble, 0.1) };
}

/** The share of bits that differ between two prints where they lie best over each other: 0 for one sound, about a half for two. */
export function soundDistance(one: SoundPrint, other: SoundPrint): number {
  let least = 1;
  for (let shift = -MOST_SHIFT; shift <= MOST_SHIFT; shift += 1) {
    const from = Math.max(0, shift);
    const to = Math.min(one.bits.length, other.bits.length + shift);
    // What hangs over is not compared, but most of the shorter one has to be.
    if (to - from < Math.max(LEAST_FRAMES, 0.8 * Math.min(one.bits.length, other.bits.length))) continue;
    let differing = 0;
    for (let at = from; at < to; at += 1) differing += ones((one.bits[at] ?? 0) ^ (other.bits[at - shift] ?? 0));
    least = Math.min(least, differing / (16 * (to - from)));
  }
  return least;
}

const WINDOW = Float64Array.from({ length: FRAME }, (_, n) => 0.5 - 0.5 * Math.cos((2 * Math.PI * n) / FRAME));
const EDGES = Array.from({ length: BANDS + 1 }, (_, nth) => bin(FROM_HZ * (TO_HZ / FROM_HZ) ** (nth / BANDS)));

function bin(hz: number): number {
  return Math.round((hz * FRAME) / SAMPLE_RATE);
}

/** In dB: differences of it are ratios, which loudness does not move. */
function energy(spectrum: readonly number[], from: number, to: number): number {
  let sum = 0;
  for (let at = from; at < to; at += 1) sum += (spectrum[2 * at] ?? 0) ** 2 + (spectrum[2 * at + 1] ?? 0) ** 2;
  return 10 * Math.log10(sum / (FRAME / 4) ** 2 + 1e-12);
}

function quantile(values: readonly number[], share: number): number {
  const inOrder = values.toSorted((a, b) => a - b);
  return inOrder[Math.min(inOrder.length - 1, Math.floor(share * inOrder.length))] ?? 0;
}

function ones(word: number): number {
  let count = 0;
  for (let left = word; left !== 0; left &= left - 1) count += 1;
  return count;
}
