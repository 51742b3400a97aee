import type { Command, SpokenReading } from '../grammar/meaning.ts';
import type { CheckVerdict, StepResult } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import type { Step } from './plan.ts';

/** Why a reading is asked about instead of taken. */
export type AskReason = 'low-confidence' | 'implausible' | 'would-fail';

/** Something to tell the operator, as data; `answering/` words it. */
export type Answer =
  | { readonly type: 'brief'; readonly step: Step; readonly repeatBecause?: RepeatReason }
  | { readonly type: 'read-back'; readonly reading: SpokenReading; readonly corrected: boolean }
  | { readonly type: 'noted'; readonly cue: string }
  | { readonly type: 'question'; readonly reading: SpokenReading; readonly because: AskReason }
  | { readonly type: 'missing-circuit'; readonly circuit: 'primary' | 'secondary' }
  | { readonly type: 'hold-started'; readonly seconds: number }
  | { readonly type: 'window-started' }
  | { readonly type: 'time-left'; readonly seconds: number }
  | { readonly type: 'call-needles' }
  | { readonly type: 'verdict'; readonly step: Step; readonly result: StepResult }
  | { readonly type: 'still-needed'; readonly step: Step; readonly cues: readonly string[]; readonly reading: boolean }
  | { readonly type: 'ask-skip-reason'; readonly step: Step }
  | { readonly type: 'skipped'; readonly step: Step; readonly reason: string }
  | { readonly type: 'went-back'; readonly step: Step }
  | { readonly type: 'paused' }
  | { readonly type: 'resumed' }
  | { readonly type: 'ask-stop' }
  | { readonly type: 'note-taken' }
  | { readonly type: 'not-here'; readonly command?: Command }
  | { readonly type: 'finished'; readonly verdict: CheckVerdict; readonly seconds?: number; readonly stopped: boolean };

export type RepeatReason = 'microphone-lost' | 'page-closed' | 'engine-lost' | 'reading-late' | 'reading-early' | 'went-back' | 'pressure-rose';

/** A hold that runs, for the screen. */
export interface RunningHold {
  readonly start: Ms;
  readonly due: Ms;
}
