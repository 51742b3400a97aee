import type { SpokenReading } from '../grammar/meaning.ts';
import type { CheckVerdict, Verdict } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import type { RepeatReason, RunningHold } from './answer.ts';
import type { Step } from './plan.ts';
import type { CalloutRecord, CheckState, Pending, Phase, StepRecord } from './state.ts';

/** Everything the Check screen shows, derived from the state. */
export interface CheckView {
  readonly phase: Phase;
  /** Undefined when the check is done. */
  readonly step?: Step;
  /** Index of the step among those that this rig has, from 0, and their number. */
  readonly index: number;
  readonly total: number;
  /** Cue ids of the step: already heard, and still needed. */
  readonly heard: readonly string[];
  readonly needed: readonly string[];
  /** Any one of these is still needed (`event`, `observe`). */
  readonly neededOutcomes: readonly string[];
  readonly readingNeeded: boolean;
  /** The last needles called in this step, taken or not. */
  readonly latest?: SpokenReading;
  /** A circuit still missing of the reading under way. */
  readonly missingCircuit?: 'primary' | 'secondary';
  readonly hold?: RunningHold;
  readonly window?: { readonly start: Ms };
  readonly question?: Pending;
  readonly repeatBecause?: RepeatReason;
  /** Results so far, in plan order, with the verdict; steps that the rig does not have are left out. */
  readonly results: readonly (StepRecord & { readonly title: string; readonly verdict: Verdict })[];
  /** Callouts made in this step. */
  readonly callouts: readonly CalloutRecord[];
  readonly clock: { readonly start?: Ms; readonly end?: Ms };
  readonly verdict?: CheckVerdict;
  readonly stopped: boolean;
}

/** What the screen shows of a state. */
export function view(state: CheckState): CheckView {
  throw new Error(`not yet: ${state.phase}`);
}
