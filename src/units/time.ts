/**
 * Milliseconds on the sample clock of a check: 0 is its first audio frame. Every time in a check is one of these;
 * wall time is noted only where a check starts and resumes.
 */
export type Ms = number;

/** Everything after the capture edge works at this rate, in Hz. */
export const SAMPLE_RATE = 16_000;

/** The time of a sample index, in ms. */
export function samplesToMs(samples: number): Ms {
  return (samples * 1000) / SAMPLE_RATE;
}

/** The nearest sample index to a time in ms. */
export function msToSamples(ms: Ms): number {
  return Math.round((ms * SAMPLE_RATE) / 1000);
}
