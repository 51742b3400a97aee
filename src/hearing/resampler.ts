import { SAMPLE_RATE } from '../units/time.ts';

/** Turns a stream of one rate into 16 kHz, piece by piece. */
export interface Resampler {
  /**
   * The output that the input so far decides. Output sample k is the sound at second k / 16000 of the input, whatever
   * the pieces' lengths: the filter's delay is made up for, so it lags the input by half its length, about 2 ms.
   */
  push(samples: Float32Array): Float32Array;
  /** The rest, as if silence followed. In all, n input samples give ceil(n x 16000 / rate) output samples. */
  flush(): Float32Array;
}

/** Zero crossings of the sinc on either side. By Kaiser's formula, with the window below: flat to 6.8 kHz, 70 dB down from 8 kHz. */
const CROSSINGS = 32;
/** The cut-off, as a part of the lower of the two Nyquist frequencies. */
const CUT_OFF = 0.925;
const KAISER_BETA = 7;

/** `rate` in Hz, a whole number from 1,000 to 768,000; anything else is a programmer's error. */
export function createResampler(rate: number): Resampler {
  if (!Number.isInteger(rate) || rate < 1000 || rate > 768_000) {
    throw new RangeError(`createResampler: rate must be a whole number from 1000 to 768000 Hz, not ${rate}`);
  }
  if (rate === SAMPLE_RATE) return { push: (samples) => samples, flush: () => new Float32Array(0) };

  const divisor = gcd(rate, SAMPLE_RATE);
  const phases = SAMPLE_RATE / divisor;
  const step = rate / divisor;
  /** Input samples on either side of an output's place. */
  const reach = Math.ceil(CROSSINGS * Math.max(1, rate / SAMPLE_RATE));
  const kernels: Float64Array[] = [];
  const kernel = (phase: number): Float64Array => (kernels[phase] ??= makeKernel(phase / phases, rate, reach));

  // `held[0]` is input sample `heldFrom`; silence stands before the first.
  let held: Float32Array = new Float32Array(reach);
  let heldFrom = -reach;
  let taken = 0;
  let made = 0;

  const produce = (until: number): Float32Array => {
    const count = Math.max(0, until - made);
    const out = new Float32Array(count);
    for (let i = 0; i < count; i += 1) {
      const position = (made + i) * step;
      const centre = Math.floor(position / phases);
      const taps = kernel(position % phases);
      const from = centre - reach + 1 - heldFrom;
      let sum = 0;
      for (let tap = 0; tap < taps.length; tap += 1) sum += (taps[tap] ?? 0) * (held[from + tap] ?? 0);
      out[i] = sum;
    }
    made += count;
    const keepFrom = Math.floor((made * step) / phases) - reach;
    if (keepFrom > heldFrom) {
      held = held.slice(keepFrom - heldFrom);
      heldFrom = keepFrom;
    }
    return out;
  };
  const append = (samples: Float32Array): void => {
    const joined = new Float32Array(held.length + samples.length);
    joined.set(held);
    joined.set(samples, held.length);
    held = joined;
  };

  return {
    push(samples) {
      append(samples);
      taken += samples.length;
      // Output k needs input up to floor(k step / phases) + reach.
      return produce(Math.ceil(((taken - reach) * phases) / step));
    },
    flush() {
      append(new Float32Array(reach + 1));
      return produce(Math.ceil((taken * phases) / step));
    },
  };
}

/** Weights of input samples centre - reach + 1 … centre + reach for an output `fraction` past the centre. */
function makeKernel(fraction: number, rate: number, reach: number): Float64Array {
  const cutOff = CUT_OFF * Math.min(1, SAMPLE_RATE / rate);
  const taps = new Float64Array(2 * reach);
  let sum = 0;
  for (let tap = 0; tap < taps.length; tap += 1) {
    const x = tap - reach + 1 - fraction;
    const weight = sinc(cutOff * x) * kaiser(x / reach);
    taps[tap] = weight;
    sum += weight;
  }
  // Unity gain for a constant, in every phase.
  return taps.map((weight) => weight / sum);
}

function sinc(x: number): number {
  return x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
}

/** Kaiser window at x from -1 to 1 (Kaiser and Schafer 1980). */
function kaiser(x: number): number {
  return Math.abs(x) > 1 ? 0 : bessel(KAISER_BETA * Math.sqrt(1 - x * x)) / bessel(KAISER_BETA);
}

/** Modified Bessel function of the first kind, order 0, by its power series. */
function bessel(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > sum * 1e-12; k += 1) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b);
}
