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
  const voice: Band = [highPass(300), highPass(300), lowPass(3400)];
  const hiss: Band = [highPass(3400), highPass(3400), lowPass(7000)];
  return (frame) => ({ voice: bandLevel(frame, voice), hiss: bandLevel(frame, hiss) });
}

function bandLevel(frame: Float32Array, [first, second, third]: Band): number {
  let sum = 0;
  for (const sample of frame) {
    const value = third.next(second.next(first.next(sample)));
    sum += value * value;
  }
  return 10 * Math.log10(sum / frame.length + 1e-12);
}

type Band = readonly [Section, Section, Section];

/** Second-order Butterworth sections by the bilinear transform (R. Bristow-Johnson, Audio EQ Cookbook; Q = 1/sqrt 2). */
function highPass(hz: number): Section {
  const { cos, alpha } = angle(hz);
  return new Section((1 + cos) / 2, -(1 + cos), (1 + cos) / 2, cos, alpha);
}

function lowPass(hz: number): Section {
  const { cos, alpha } = angle(hz);
  return new Section((1 - cos) / 2, 1 - cos, (1 - cos) / 2, cos, alpha);
}

function angle(hz: number): { readonly cos: number; readonly alpha: number } {
  const w = (2 * Math.PI * hz) / SAMPLE_RATE;
  return { cos: Math.cos(w), alpha: Math.sin(w) / Math.SQRT2 };
}

/** One section with what it remembers. */
class Section {
  readonly #b0: number;
  readonly #b1: number;
  readonly #b2: number;
  readonly #a0: number;
  readonly #a1: number;
  readonly #a2: number;
  #z1 = 0;
  #z2 = 0;

  constructor(b0: number, b1: number, b2: number, cos: number, alpha: number) {
    this.#b0 = b0;
    this.#b1 = b1;
    this.#b2 = b2;
    this.#a0 = 1 + alpha;
    this.#a1 = -2 * cos;
    this.#a2 = 1 - alpha;
  }

  next(x: number): number {
    const y = (this.#b0 * x + this.#z1) / this.#a0;
    this.#z1 = this.#b1 * x - this.#a1 * y + this.#z2;
    this.#z2 = this.#b2 * x - this.#a2 * y;
    return y;
  }
}
