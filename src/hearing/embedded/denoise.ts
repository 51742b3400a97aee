import FFT from 'fft.js';
import { SAMPLE_RATE } from '../../units/time.ts';

/** Window of 32 ms, every half window: a square-root Hann at both ends of the way adds up to one. */
const SIZE = 512;
const HOP = SIZE / 2;
const BINS = SIZE / 2 + 1;
/** The part of an utterance taken for the noise: its quietest frames, among them the breath before and after the words. */
const QUIET_SHARE = 0.2;
const LEAST_QUIET = 4;
/** The quietest frames are quieter than the noise is on the whole. */
const NOISE_GAIN = 1.3;
/** Weight of the frame before in the estimate of how far speech stands above the noise. */
const SMOOTHING = 0.92;
/** Noise is not taken out wholly: holes in the spectrum are further from speech than noise is. */
const LEAST_GAIN = 0.12;
/** Bins by which quiet frames are told: 250 to 4000 Hz. */
const SPEECH_BINS = [Math.round((250 * SIZE) / SAMPLE_RATE), Math.round((4000 * SIZE) / SAMPLE_RATE)] as const;

const WINDOW = Float64Array.from({ length: SIZE }, (_, n) => Math.sin((Math.PI * n) / SIZE));

/**
 * The utterance with steady noise turned down, of the same length: a Wiener filter whose signal-to-noise ratio is
 * estimated decision-directed (Ephraim and Malah 1984, IEEE Transactions on ASSP 32(6); as a Wiener gain: Scalart and
 * Filho 1996, ICASSP). The noise is taken from the utterance's own quietest frames, so that equal sound gives an equal
 * result. Sound without noise comes back all but unchanged.
 */
export function withoutSteadyNoise(samples: Float32Array): Float32Array {
  const fft = new FFT(SIZE);
  const frames = Math.ceil(samples.length / HOP) + 1;
  const padded = new Float64Array((frames + 1) * HOP);
  padded.set(samples, HOP);
  const spectra: number[][] = [];
  const powers: Float64Array[] = [];
  for (let frame = 0; frame < frames; frame += 1) {
    const spectrum = complexZeros();
    fft.realTransform(
      spectrum,
      Array.from(WINDOW, (weight, n) => weight * (padded[frame * HOP + n] ?? 0)),
    );
    spectra.push(spectrum);
    powers.push(Float64Array.from({ length: BINS }, (_, bin) => power(spectrum, bin)));
  }
  const noise = noiseOf(powers.slice(1, -1));
  if (noise === undefined) return samples;

  const out = new Float64Array(padded.length);
  const before = new Float64Array(BINS);
  for (const [frame, spectrum] of spectra.entries()) {
    for (let bin = 0; bin < BINS; bin += 1) {
      const gain = gainOf(powers[frame]?.[bin] ?? 0, noise[bin] ?? 0, before, bin);
      spectrum[2 * bin] = (spectrum[2 * bin] ?? 0) * gain;
      spectrum[2 * bin + 1] = (spectrum[2 * bin + 1] ?? 0) * gain;
    }
    fft.completeSpectrum(spectrum);
    const back = complexZeros();
    fft.inverseTransform(back, spectrum);
    for (let n = 0; n < SIZE; n += 1) {
      out[frame * HOP + n] = (out[frame * HOP + n] ?? 0) + (WINDOW[n] ?? 0) * (back[2 * n] ?? 0);
    }
  }
  return Float32Array.from(out.subarray(HOP, HOP + samples.length));
}

/** `before` holds each bin's power of speech in the frame before, and is brought up to date. */
function gainOf(here: number, noise: number, before: Float64Array, bin: number): number {
  const floor = noise + Number.EPSILON;
  const ratio = (SMOOTHING * (before[bin] ?? 0)) / floor + (1 - SMOOTHING) * Math.max(0, here / floor - 1);
  const gain = Math.max(LEAST_GAIN, ratio / (1 + ratio));
  before[bin] = gain * gain * here;
  return gain;
}

/** Power of the noise in each bin; undefined when there is too little sound to tell. */
function noiseOf(powers: readonly Float64Array[]): Float64Array | undefined {
  if (powers.length < LEAST_QUIET) return undefined;
  const quiet = powers
    .map((bins) => ({ bins, level: speechLevel(bins) }))
    .sort((a, b) => a.level - b.level)
    .slice(0, Math.max(LEAST_QUIET, Math.floor(QUIET_SHARE * powers.length)));
  return Float64Array.from(
    { length: BINS },
    (_, bin) => (NOISE_GAIN * quiet.reduce((sum, { bins }) => sum + (bins[bin] ?? 0), 0)) / quiet.length,
  );
}

function speechLevel(bins: Float64Array): number {
  let level = 0;
  for (let bin = SPEECH_BINS[0]; bin <= SPEECH_BINS[1]; bin += 1) level += Math.log((bins[bin] ?? 0) + 1e-12);
  return level;
}

function power(spectrum: readonly number[], bin: number): number {
  return (spectrum[2 * bin] ?? 0) ** 2 + (spectrum[2 * bin + 1] ?? 0) ** 2;
}

/** Real and imaginary parts in turn, as the transform takes them. */
function complexZeros(): number[] {
  return new Array<number>(2 * SIZE).fill(0);
}
