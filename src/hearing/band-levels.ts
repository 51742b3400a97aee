import { SAMPLE_RATE } from '../units/time.ts';

/** Frames of every measure of sound in this room. */
export const FRAME_SAMPLES = SAMPLE_RATE / 100;
export const FRAME_MS = 10;

/** Levels in dB, re full scale, of the two bands in which speech stands out of a cab's noise. */
export interface BandLevels {
  /** 300-3400 Hz: voiced sounds, without the rumble of a diesel below it. */
  readonly voice: number;
  /** 3.4-7 kHz: "s", "t", "f", which the lower band misses. */
  readonly hiss: number;
}

/** Measures 10 ms frames in sequence; the filters remember the frames before. */
export function createBandLevels(): (frame: Float32Array) => BandLevels {
  const voice = [highPass(300), highPass(300), lowPass(3400)];
  const hiss = [highPass(3400), highPass(3400), lowPass(7000)];
  return (frame) => ({ voice: bandLevel(frame, voice), hiss: bandLevel(frame, hiss) });
}

function bandLevel(frame: Float32Array, filters: readonly Filter[]): number {
  let sum = 0;
  for (const sample of frame) {
    let value = sample;
    for (const filter of filters) value = filter(value);
    sum += value * value;
  }
  return 10 * Math.log10(sum / frame.length + 1e-12);
}

type Filter = (x: number) => number;

/** Second-order Butterworth sections by the bilinear transform (R. Bristow-Johnson, Audio EQ Cookbook; Q = 1/sqrt 2). */
function highPass(hz: number): Filter {
  const { cos, alpha } = angle(hz);
  return biquad((1 + cos) / 2, -(1 + cos), (1 + cos) / 2, cos, alpha);
}

function lowPass(hz: number): Filter {
  const { cos, alpha } = angle(hz);
  return biquad((1 - cos) / 2, 1 - cos, (1 - cos) / 2, cos, alpha);
}

function angle(hz: number): { readonly cos: number; readonly alpha: number } {
  const w = (2 * Math.PI * hz) / SAMPLE_RATE;
  return { cos: Math.cos(w), alpha: Math.sin(w) / Math.SQRT2 };
}

function biquad(b0: number, b1: number, b2: number, cos: number, alpha: number): Filter {
  const a0 = 1 + alpha;
  const a1 = -2 * cos;
  const a2 = 1 - alpha;
  let z1 = 0;
  let z2 = 0;
  return (x) => {
    const y = (b0 * x + z1) / a0;
    z1 = b1 * x - a1 * y + z2;
    z2 = b2 * x - a2 * y;
    return y;
  };
}
