import type { Ruleset } from '../grammar/ruleset.ts';
import type { Ms } from '../units/time.ts';
import type { EndpointerOptions } from './endpointer.ts';
import type { Heard } from './port.ts';
import type { SoundReport } from './sound-watch.ts';

/** What a segmenter tells, in the order of the sample clock; it goes on only when what a callback returns has resolved. */
export interface SegmenterEvents {
  readonly started: (at: Ms) => void;
  /** What will be told as heard, the same object, unless somebody goes on. */
  readonly understood?: (heard: Heard) => void;
  /** An utterance ended, at sample `until`, and has been decoded by the ruleset of that moment. */
  readonly heard: (heard: Heard, until: number) => Promise<void>;
  /** Every 100 ms of sound. `needed` is the oldest sample index that is still wanted if the segmenter must begin again. */
  readonly clock: (now: Ms, sound: SoundReport, needed: number) => Promise<void>;
  /** The engine does not take the ruleset; utterances are passed over until another is given. */
  readonly refused: (reason: string) => void;
}

export interface SegmenterOptions extends EndpointerOptions {
  /** Index of the first sample on the 16 kHz sample clock. */
  readonly firstSample: number;
  /** Utterances that end at or before this sample, and clock events up to `clockUntil`, have been told before and are not told again. */
  readonly heardUntil: number;
  readonly clockUntil: number;
  /** Decode at the first short silence, so that the answer is ready when the utterance turns out to have ended there. */
  readonly decodeAhead: boolean;
  /** Waits longer for a needle that lacks. Default false. */
  readonly slowSpeaker?: boolean;
}

export interface Segmenter {
  /** Applies to every utterance that is decoded from now on; none is lost. */
  listenFor(ruleset: Ruleset): void;
  /** Resolves when all of it has been worked through. One call at a time. */
  push(samples: Float32Array, rate: number): Promise<void>;
  /** The input has ended: the utterance that is going on ends too. */
  flush(): Promise<void>;
}
