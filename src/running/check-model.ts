import type { DefectClass } from '../items/item.ts';
import type { ItemResult } from '../judging/result.ts';
import type { SpokenItem } from '../grammar/meaning.ts';
import type { AskReason } from '../check/answer.ts';
import type { ExaminerEvent, PhotoEvent } from '../check/event.ts';
import type { Step } from '../check/plan.ts';
import type { Command, SpokenReading } from '../grammar/meaning.ts';
import type { TestNote } from '../judging/profile.ts';
import type { CheckVerdict, StepResult } from '../judging/result.ts';
import type { SoundReport } from '../hearing/sound-watch.ts';
import type { PressureUnit } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import type { Pulse } from './pulse.ts';

/** A cue as a button: what to say is also what to press. */
export interface CueButton {
  readonly cue: string;
  readonly label: string;
  readonly done: boolean;
}

export type Question =
  | {
      readonly kind: 'reading';
      readonly reading: SpokenReading;
      readonly because: AskReason;
      /** Why the step would fail: its number against its limit. */
      readonly reason?: string;
    }
  /** Words that may be somebody else's. */
  | { readonly kind: 'whose'; readonly words: string }
  | { readonly kind: 'stop' }
  | { readonly kind: 'skip-reason'; readonly reasons: readonly CueButton[] };

/** Everything the Check screen shows of the machine's state; see `checkModel`. */
export interface CheckModel {
  readonly step: Step;
  /** What other documents say against the way the profile tests in this step. */
  readonly note?: TestNote;
  readonly number: number;
  readonly count: number;
  readonly unit: PressureUnit;
  readonly cues: readonly CueButton[];
  /** True when needles can be called now. */
  readonly wantsReading: boolean;
  /** True when needles are all that the step waits for just now, and no hold or window runs. */
  readonly readingNext: boolean;
  readonly needles: SpokenReading;
  /** The items of the place under way. */
  readonly place?: PlaceModel;
  readonly question?: Question;
  /** A step has just failed, and nothing was called in the next one. */
  readonly fork?: { readonly title: string; readonly result: StepResult };
  /** A hold that counts down to `due`, or a window that counts up. */
  readonly bar?: { readonly kind: 'hold' | 'window'; readonly start: Ms; readonly due?: Ms };
  readonly clock?: { readonly start: Ms; readonly end?: Ms };
  /** Items of earlier places that are bad: a photo of them can still be taken. */
  readonly defects?: readonly { readonly id: string; readonly title: string; readonly words: string }[];
  readonly verdicts: readonly { readonly id: string; readonly title: string; readonly result: StepResult }[];
  /** The needle that is missing of the pair under way. */
  readonly missing?: 'primary' | 'secondary';
  /** A note is waited for. */
  readonly noting: boolean;
  readonly paused: boolean;
  /** What is odd just now, in one sentence each: a circuit still missing, a hold that is repeated. */
  readonly remarks: readonly string[];
  readonly finished?: { readonly verdict: CheckVerdict; readonly seconds?: number; readonly stopped: boolean };
  /** Phrases that are understood now. */
  readonly sayable: readonly string[];
}

/** A place of the walk on the screen. */
export interface PlaceModel {
  readonly items: readonly PlaceItem[];
  readonly groups: readonly { readonly label: string; readonly items: readonly string[] }[];
  /** Items that have no answer yet. */
  readonly left: number;
  /** Places that can be gone back to. */
  readonly earlier: readonly { readonly id: string; readonly title: string }[];
}

export interface PlaceItem {
  readonly id: string;
  readonly title: string;
  readonly look: string;
  /** `passed over` while nothing was said of it. */
  readonly result: ItemResult;
  readonly ways: readonly { readonly id: string; readonly words: string; readonly class: DefectClass }[];
  readonly measure?: { readonly what: string; readonly unit: string; readonly max: number };
  readonly mayLack: boolean;
  /** What an earlier check left open of it. */
  readonly open?: string;
  /** Ids of the photos of that. */
  readonly earlier?: readonly string[];
}

/** What the operator did by touch or key. `took` is how long the needles took to put in, in ms: they were read at the first key. */
export type Action =
  | { readonly do: 'cue'; readonly cue: string }
  | { readonly do: 'reading'; readonly reading: SpokenReading; readonly correction: boolean; readonly took: number }
  | { readonly do: 'command'; readonly command: Command; readonly reason?: string }
  /** `words` is what it is written down as. */
  | {
      readonly do: 'items';
      readonly items: readonly SpokenItem[];
      readonly words: string;
      readonly correction: boolean;
    }
  | { readonly do: 'move'; readonly to: string; readonly words: string }
  | { readonly do: 'note'; readonly text: string }
  /** The examiner's: a remark, whether a limit was stated, or what was seen of a part. */
  | { readonly do: 'examiner'; readonly put: Pick<ExaminerEvent, 'text' | 'limit' | 'mark'> }
  /** A picture of an item, a JPEG that is small enough to keep; and one that is taken back. */
  | { readonly do: 'photo'; readonly item: string; readonly picture: Blob }
  | { readonly do: 'photo-back'; readonly item: string; readonly clip: string }
  | { readonly do: 'talk'; readonly down: boolean }
  | { readonly do: 'microphone' }
  | { readonly do: 'leave' };

export type EarState = 'off' | 'starting' | 'listening' | 'waiting' | 'unavailable';

export interface Beat {
  readonly now: Ms;
  readonly sound?: SoundReport;
}

/** What the live check knows besides the machine's state. */
export interface LiveState {
  /** What changes with every 100 ms. */
  readonly pulse: Pulse<Beat>;
  readonly ear: EarState;
  /** One plain line: which ear is listening, or why none is. */
  readonly earLine: string;
  readonly heard?: Caption;
  /** The latest spoken answers, newest last. */
  readonly spoken: readonly string[];
  readonly speaking: boolean;
  readonly talking: boolean;
  readonly pushToTalk: boolean;
  /** See `Settings`. */
  readonly talkKey: string;
  readonly keys: boolean;
  readonly notices: readonly string[];
  /** What the examiner put down, in an examination. */
  readonly examiner: readonly ExaminerEvent[];
  readonly photos: PhotosModel;
}

/** Photos of defects, as far as they are the check's. */
export interface PhotosModel {
  /** Taken in this check and not taken back. */
  readonly taken: readonly PhotoEvent[];
  /** Why the last one of an item was not taken, in one line. */
  readonly trouble?: { readonly item: string; readonly line: string };
  /** The picture of an id, of this check or an earlier one; undefined where it is not kept any more. */
  readonly picture: (id: string) => Promise<Blob | undefined>;
}

/** The last thing heard, and how it was taken. */
export interface Caption {
  readonly words: string;
  readonly taken: string;
  readonly used: boolean;
}
