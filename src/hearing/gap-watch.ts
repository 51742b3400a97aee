/**
 * Finds sound that was lost between the device and us: a jump in the frame index, or steady time that ran ahead of the
 * sound (a suspended page or audio context). Chunks that only come late, since the page was busy, lose nothing.
 */
export interface GapWatch {
  /**
   * Takes the next chunk, which arrived at `at` ms of a clock that only grows. Gives what can be passed on now, in
   * order: a chunk that comes late is held until those behind it show whether sound was lost before it.
   */
  next(chunk: Chunk, at: number): readonly Passed[];
}

export interface Chunk {
  readonly samples: Float32Array;
  /** Frame index of the first sample on the audio context's clock. */
  readonly index: number;
}

type Passed =
  | {
      readonly type: 'sound';
      readonly samples: Float32Array;
      /** When its first sample was taken, in ms of the steady clock. */
      readonly from: number;
    }
  | { readonly type: 'gap'; readonly ms: number };

/** Chunks arrive up to this much later than their sound ended, without any loss; ms. */
const JITTER_MS = 300;
/** What was only late has caught up by then; ms. */
const CATCH_UP_MS = 250;
/** How much slower a sound device may count than the steady clock, without any loss. */
const DRIFT = 3e-4;
/** A shorter loss is given as silence: Chromium leaves out 0.1 s when a device starts. */
const LEAST_GAP_MS = 250;

/** `rate` in Hz. */
export function createGapWatch(rate: number): GapWatch {
  const toMs = (frames: number): number => (frames * 1000) / rate;
  let expected: number | undefined;
  /** Steady time of the context's frame 0, by the promptest chunk so far: arrivals can be late, never early. */
  let origin: number | undefined;
  let held: { readonly chunk: Chunk; readonly at: number; readonly started: number }[] = [];

  const pass = (chunk: Chunk, from: number): Passed[] => {
    const jumped = expected === undefined ? 0 : Math.max(0, chunk.index - expected);
    expected = chunk.index + chunk.samples.length;
    const sound: Passed = { type: 'sound', samples: chunk.samples, from: from + toMs(chunk.index) };
    if (jumped === 0) return [sound];
    if (toMs(jumped) >= LEAST_GAP_MS) return [{ type: 'gap', ms: toMs(jumped) }, sound];
    return [{ ...sound, samples: new Float32Array(jumped), from: sound.from - toMs(jumped) }, sound];
  };

  return {
    next(chunk, at) {
      const started = at - toMs(chunk.index + chunk.samples.length);
      const from = Math.min(started, (origin ?? started) + DRIFT * toMs(chunk.samples.length));
      origin = from;
      held.push({ chunk, at, started });
      const isLate = started - from > JITTER_MS;
      if (isLate && at - (held[0]?.at ?? at) < CATCH_UP_MS) return [];
      const waiting = held;
      held = [];
      if (!isLate) return waiting.flatMap((each) => pass(each.chunk, from));
      const begun = Math.min(...waiting.map((each) => each.started));
      origin = begun;
      return [{ type: 'gap', ms: begun - from }, ...waiting.flatMap((each) => pass(each.chunk, begun))];
    },
  };
}
