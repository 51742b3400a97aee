import { SAMPLE_RATE } from '../../units/time.ts';

/** Noise floor around and under an utterance, in dBFS (RMS): the engine's front end misjudges digital silence. */
const FLOOR_DBFS = -50;
/** But always this far below the utterance itself, so that a quiet voice is not drowned. */
const BELOW_SPEECH_DB = 40;

/** Length of the floor before and after, in samples. */
export const PAD_SAMPLES = Math.round(0.05 * SAMPLE_RATE);

/**
 * The utterance with a noise floor under it and 50 ms of the floor on either side: with more, the phone loop, which fits
 * noise better than the engine's silence does, gets ahead of short callouts. The noise is the same at every call, so
 * that equal sound is heard equally.
 */
export function withNoiseFloor(samples: Float32Array): Float32Array {
  const speech = 10 * Math.log10(meanSquare(samples) + 1e-12);
  const level = Math.min(FLOOR_DBFS, speech - BELOW_SPEECH_DB);
  // Uniform noise of amplitude a has an RMS of a / sqrt(3).
  const amplitude = 10 ** (level / 20) * Math.sqrt(3);
  const padded = new Float32Array(samples.length + 2 * PAD_SAMPLES);
  padded.set(samples, PAD_SAMPLES);
  let state = 12_345;
  for (let i = 0; i < padded.length; i += 1) {
    // Linear congruential generator of Numerical Recipes (2nd edition, section 7.1).
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    padded[i] = (padded[i] ?? 0) + (state / 2_147_483_648 - 1) * amplitude;
  }
  return padded;
}

function meanSquare(samples: Float32Array): number {
  let sum = 0;
  for (const sample of samples) sum += sample * sample;
  return samples.length === 0 ? 0 : sum / samples.length;
}
