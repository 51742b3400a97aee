import type { Command, SpokenReading } from '../grammar/meaning.ts';
import type { DefectClass } from '../items/item.ts';
import type { OpenDefect } from '../items/open-defect.ts';
import type { Condition } from '../judging/condition.ts';
import type { CheckVerdict, StepResult } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import type { Step } from './plan.ts';

/** Why a reading is asked about instead of taken. */
export type AskReason = 'low-confidence' | 'implausible' | 'would-fail';

/** An item and how it is, in words. */
export interface ItemWords {
  readonly title: string;
  readonly words: string;
}

/** Something to tell the operator, as data; `answering/` words it. */
export type Answer =
  /** A step begins, or begins anew after going back (its caution is spoken only the first time). */
  | { readonly type: 'brief'; readonly step: Step; readonly caution: boolean }
  | { readonly type: 'read-back'; readonly reading: SpokenReading; readonly corrected: boolean }
  | { readonly type: 'noted'; readonly cue: string }
  | {
      readonly type: 'question';
      readonly reading: SpokenReading;
      readonly because: AskReason;
      readonly fails?: StepResult;
    }
  /** Words that the operator had no cause for: they may be somebody else's. */
  | { readonly type: 'whose'; readonly cue: string }
  | { readonly type: 'missing-circuit'; readonly circuit: 'primary' | 'secondary' }
  /** "Correction" alone, or "no" to a question: the reading is to be called again. */
  | { readonly type: 'call-again' }
  | { readonly type: 'hold-started'; readonly seconds: number }
  /** Needles called before the hold is over: kept in the log, not taken. */
  | { readonly type: 'hold-not-over'; readonly seconds: number }
  | { readonly type: 'window-started' }
  /** `asked`: the operator wanted to know. */
  | { readonly type: 'time-left'; readonly seconds: number; readonly asked?: true }
  /** `again`: the needles were called for before, or the operator wanted to know. */
  | { readonly type: 'call-needles'; readonly again?: true }
  /** A hold or window is lost and begins with the next reading. */
  | { readonly type: 'repeat'; readonly step: Step; readonly because: RepeatReason }
  /** A callout says that a condition of the measurement does not hold; it begins anew. */
  | { readonly type: 'contradicted'; readonly step: Step; readonly cue: string; readonly condition: Condition }
  /** Needles that a hold may not begin with. */
  | { readonly type: 'unfit-start'; readonly step: Step; readonly condition: Condition }
  /** The operator went on with the next step: this one has no verdict, and may be repeated by going back. */
  | { readonly type: 'left'; readonly step: Step }
  /** `held` was called and cannot be taken back by `said` alone. */
  | { readonly type: 'sticks'; readonly held: string; readonly said: string }
  /** "Correction" alone, after something that was seen or felt. */
  | { readonly type: 'say-what-it-was' }
  | { readonly type: 'verdict'; readonly step: Step; readonly result: StepResult }
  /** A step failed: measure it again, stop, or go on without moving the rig. */
  | { readonly type: 'fork' }
  /** What was said of items was taken; `left`: how many of the place have no answer yet. */
  | { readonly type: 'items-noted'; readonly said: readonly ItemWords[]; readonly left: number }
  /** An item is bad: told at once, with its class. */
  | { readonly type: 'item-bad'; readonly item: ItemWords; readonly class: DefectClass }
  /** What was called as bad cannot be taken back by its opposite alone. */
  | { readonly type: 'item-sticks'; readonly item: ItemWords }
  /** Heard badly, not taken: to be said again. */
  | { readonly type: 'items-again'; readonly said: readonly ItemWords[] }
  | { readonly type: 'item-impossible'; readonly title: string; readonly value: number; readonly max: number }
  /** The place is left, and nothing was said of these. */
  | { readonly type: 'passed-over'; readonly step: Step; readonly titles: readonly string[] }
  /** Defects that earlier checks of the rig left open. */
  | { readonly type: 'open-defects'; readonly defects: readonly OpenDefect[]; readonly now: string }
  | { readonly type: 'still-needed'; readonly step: Step; readonly cues: readonly string[]; readonly reading: boolean }
  | { readonly type: 'ask-skip-reason'; readonly step: Step }
  | { readonly type: 'skipped'; readonly step: Step; readonly reason: string }
  | { readonly type: 'went-back'; readonly step: Step }
  | { readonly type: 'paused' }
  | { readonly type: 'resumed' }
  | { readonly type: 'ask-stop' }
  | { readonly type: 'going-on' }
  | { readonly type: 'ask-note' }
  | { readonly type: 'note-taken' }
  /** "Say again": what was last said, as far as the check knows; what was heard of it, the voice knows. */
  | { readonly type: 'again'; readonly answer: Answer }
  /** It listens to everything, or only while the operator presses. */
  | { readonly type: 'listens'; readonly how: 'openly' | 'when-pressed' }
  /** A command that has no use just now. */
  | { readonly type: 'not-here'; readonly command?: Command }
  /** `seconds`: the whole-check clock, when it ran. */
  | { readonly type: 'finished'; readonly verdict: CheckVerdict; readonly seconds?: number; readonly stopped: boolean };

export type RepeatReason =
  | 'microphone-lost'
  | 'sound-lost'
  | 'slept'
  | 'page-closed'
  | 'engine-lost'
  /** The closing reading came later than any hold may last. */
  | 'reading-late'
  /** The last condition (engine off, settled, …) was called too long after the first reading. */
  | 'conditions-late'
  | 'paused'
  /** A callout contradicted a condition of the measurement. */
  | 'contradicted'
  /** The needles came too long after the moment they belong to. */
  | 'needles-late'
  /** What was seen or felt was called before a cue that it rests on. */
  | 'outcome-early'
  /** The hold began too low, or with needles too far apart. */
  | 'unfit-start';

/** A hold that runs, for the screen. */
export interface RunningHold {
  readonly start: Ms;
  readonly due: Ms;
}
