import Meyda from 'meyda';

interface Features {
  /** Root of the mean square, in the unit of the samples. */
  readonly rms: (of: { readonly signal: Float32Array }) => number;
  /** Geometric over arithmetic mean of the bins, 0 to 1; not a number when nothing is in them. */
  readonly spectralFlatness: (of: { readonly ampSpectrum: Float64Array }) => number;
}

/** Meyda's features one by one: its `extract` transforms the block for each, whether or not it looks at the spectrum. */
export const { rms, spectralFlatness } = Meyda.featureExtractors as Features;
