import { SAMPLE_RATE } from '../../../src/units/time.ts';

/** Samples of the 10 ms frames in which the endpointer counts. */
export const FRAME = SAMPLE_RATE / 100;

/** The level that stands for silence in a `stepped` sound: well above digital silence, so that edges do not ring, in dB. */
const BASE = -50;

/** A stretch of a sound: so many 10 ms frames, so many dB above `BASE`. */
export type Stretch = readonly [frames: number, above: number];

/**
 * A tone of 1 kHz whose level goes in steps, ten whole waves to a frame: what a frame's level is, and how far it stands
 * above the floor, is known exactly.
 */
export function stepped(stretches: readonly Stretch[], hz = 1000): Float32Array {
  const levels = stretches.flatMap(([frames, above]) => Array<number>(frames).fill(BASE + above));
  return Float32Array.from({ length: levels.length * FRAME }, (_, n) => {
    const amplitude = Math.SQRT2 * 10 ** ((levels[Math.floor(n / FRAME)] ?? 0) / 20);
    return amplitude * Math.sin((2 * Math.PI * hz * n) / SAMPLE_RATE);
  });
}
