/** Sound that the tool plays. */
export interface Played {
  /** Mono, +-1. */
  readonly samples: Float32Array;
  /** Hz, as it is played. */
  readonly rate: number;
  /** Of the tones in it. */
  readonly notes?: readonly Note[];
  /** It has nothing but tones, from which nothing can be learned of the way it takes. */
  readonly tone?: true;
}

/** One steady note in a sound, by its samples. */
export interface Note {
  readonly from: number;
  readonly to: number;
  /** Turns a sample. */
  readonly pitch: number;
}
