/** The last while of a stream of samples; adding to it and forgetting of it cost no more than the samples added. */
export interface KeptSound {
  /** The oldest sample that is kept, and the one after the last. */
  readonly from: number;
  readonly to: number;
  append(samples: Float32Array): void;
  /** Samples before this one are not wanted any more. */
  forget(before: number): void;
  /** A copy of the sound from `from` up to `to`, as far as it is kept. */
  cut(from: number, to: number): Float32Array;
}

/** `first`: the number of the sample that comes first. */
export function keepSound(first: number): KeptSound {
  let store = new Float32Array(1 << 14);
  /** `store[start]` is sample `from`. */
  let start = 0;
  let length = 0;
  let from = first;
  return {
    get from() {
      return from;
    },
    get to() {
      return from + length;
    },
    append(samples) {
      if (start + length + samples.length > store.length) {
        // At least as much room is left as was moved: each sample is moved once, on the average.
        const size = Math.max(store.length, 2 * (length + samples.length));
        const roomier = new Float32Array(size);
        roomier.set(store.subarray(start, start + length));
        store = roomier;
        start = 0;
      }
      store.set(samples, start + length);
      length += samples.length;
    },
    forget(before) {
      const gone = Math.min(length, Math.max(0, Math.floor(before) - from));
      start += gone;
      length -= gone;
      from += gone;
    },
    cut(first, after) {
      const begin = Math.max(first, from);
      return store.slice(start + begin - from, start + Math.max(begin, Math.min(after, from + length)) - from);
    },
  };
}
