import type { SpokenReading } from '../grammar/meaning.ts';
import type { ItemPlace } from '../items/item.ts';
import { leftIn } from '../items/said.ts';
import type { CheckVerdict, ItemResult, StepResult, Verdict } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import { forkOf } from './after-fail.ts';
import type { RepeatReason, RunningHold } from './answer.ts';
import { buildWindow } from './build-window.ts';
import { runningHold } from './hold.ts';
import { currentStep, isFitted, needsOf } from './needs.ts';
import { judgePlace, placeOf } from './places.ts';
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
  /** Words in doubt: the operator's, or somebody else's. */
  readonly whose?: string;
  readonly repeatBecause?: RepeatReason;
  /** The step before has just failed; see `forkOf`. */
  readonly fork?: { readonly title: string; readonly result: StepResult };
  /** In a place of the walk: its items as they stand, how many have no answer, and the places that "back to …" reaches. */
  readonly place?: {
    readonly items: readonly ItemResult[];
    readonly left: number;
    readonly earlier: readonly ItemPlace[];
  };
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
  const { start, progress, records, clock, stopped, phase } = state;
  const step = currentStep(state);
  const fitted = start.plan.steps.filter((candidate) => isFitted(candidate, start.rig));
  const needs = step === undefined ? undefined : needsOf(step, progress, start.rig);
  const hold = runningHold(step, progress, start.rig);
  const failed = forkOf(state);
  const windowStart = buildWindow(step, progress.readings).lower?.start;
  return {
    phase,
    ...(step === undefined ? {} : { step }),
    index: step === undefined ? fitted.length : fitted.indexOf(step),
    total: fitted.length,
    heard: progress.outcome === undefined ? progress.cues : [...progress.cues, progress.outcome.cue],
    needed: needs === undefined ? [] : [...needs.cues, ...needs.cuesAfter],
    neededOutcomes: needs?.outcomes ?? [],
    readingNeeded: step?.kind !== 'items' && (needs?.reading ?? false),
    ...(progress.latest === undefined ? {} : { latest: progress.latest }),
    ...(progress.half === undefined
      ? {}
      : { missingCircuit: progress.half.reading.primary === undefined ? 'primary' : 'secondary' }),
    ...(hold === undefined ? {} : { hold }),
    ...(windowStart === undefined ? {} : { window: { start: windowStart } }),
    ...(state.pending === undefined ? {} : { question: state.pending }),
    ...(state.whose === undefined || phase === 'paused' ? {} : { whose: state.whose.cue }),
    ...(progress.repeatBecause === undefined ? {} : { repeatBecause: progress.repeatBecause }),
    ...(failed === undefined
      ? {}
      : { fork: { title: start.plan.steps[failed.index]?.title ?? failed.id, result: failed.result } }),
    ...placeShown(state),
    results: records
      .filter(({ outcome }) => outcome !== 'passed-over')
      .map((record) => ({
        ...record,
        title: start.plan.steps[record.index]?.title ?? record.id,
        verdict: record.result.verdict,
      })),
    callouts: step === undefined ? [] : state.callouts.filter((callout) => callout.step === step.id),
    clock,
    ...(state.verdict === undefined ? {} : { verdict: state.verdict }),
    stopped,
  };
}

function placeShown(state: CheckState): Pick<CheckView, 'place'> {
  const { steps } = state.start.plan;
  const place = placeOf(steps[state.index]);
  if (place === undefined) return {};
  const earlier: ItemPlace[] = [];
  for (let at = state.index - 1, before = placeOf(steps[at]); before !== undefined; before = placeOf(steps[(at -= 1)]))
    earlier.unshift(before);
  const left = leftIn(place, state.items ?? {}).length;
  return { place: { items: judgePlace(state, place).items ?? [], left, earlier } };
}
