/**
 * Finds sound that was lost between the device and us, so that the sample clock can be kept true with silence: a jump
 * in the frame index, or wall time that ran ahead of the sound (a suspended page or audio context).
 */
export interface GapWatch {
  /**
   * Takes the next chunk: its first frame's index, its length, and the wall time in ms when it was complete.
   * Gives the number of frames lost before it.
   */
  next(index: number, length: number, at: number): number;
}

/** Chunks arrive up to this much later than their sound ended, without any loss; ms. */
const JITTER_MS = 300;

/** `rate` in Hz. */
export function createGapWatch(rate: number): GapWatch {
  let expected: number | undefined;
  /** Wall time minus sound time, at its least so far: arrivals can be late, never early. */
  let least = Infinity;
  let lost = 0;

  return {
    next(index, length, at) {
      const jumped = expected === undefined ? 0 : Math.max(0, index - expected);
      expected = index + length;
      const ahead = at - ((expected + lost) * 1000) / rate;
      const gap = ahead - least;
      if (gap <= JITTER_MS) {
        least = Math.min(least, ahead);
        return jumped;
      }
      const frames = Math.round((gap * rate) / 1000);
      lost += frames;
      return jumped + frames;
    },
  };
}
