import { changed } from '../units/changed.ts';
import { grownStale, isRenewed, movedBy, outdated, says, STALE_MS } from './cab.ts';
import { conditionsOf, contradictionIn } from './conditions.ts';
import { isOfCab } from '../judging/condition.ts';
import type { Ms } from '../units/time.ts';
import { cuesIn, type CalloutEvent, type ResumedEvent } from './event.ts';
import { beginStep, isAskedHere, leftOut, stillNeeded, wrongIn, type Say } from './flow.ts';
import { runningHold } from './hold.ts';
import { buildWindow } from './build-window.ts';
import { currentStep, cuesOf, isFitted, readingsComplete } from './needs.ts';
import type { Step } from './plan.ts';
import { isWhole } from './readings.ts';
import { spoiledProgress } from './spoiled.ts';
import { changedProgress, changedState, type CheckState, type Spoiled } from './state.ts';
import { withAsked } from './taken.ts';
import { unfinishedBecause } from './unfinished.ts';
import { epochMs } from '../units/calendar.ts';

/**
 * What the cues of a callout do to the cab, and to a measurement under way: one that contradicts a condition spoils it, which is told at
 * once. Cues of the step that are no longer true have to be called again.
 */
export function heedCab(state: CheckState, step: Step, event: CalloutEvent, say: Say): CheckState {
  const cues = cuesIn(event);
  // What a step waits for moves the cab only once it is taken: it is judged on the cab as it was before.
  const others = cues.filter((cue) => step.outcomes?.includes(cue) !== true);
  const cab = movedBy(state.cab, others, event);
  const found = contradictionIn(step, state.start, cues) ?? renewalIn(step, state, cues);
  const moved = cab === state.cab ? state : changedState(state, { cab });
  if (found === undefined) return isLastAsked(state, step) ? moved : withoutOutdated(moved);
  const spoiled: Spoiled = { condition: found.condition, by: { heard: event.heard, at: event.at } };
  if (isLastAsked(state, step) && state.pending !== undefined) {
    const { against = { cue: found.cue, spoiled, cab: state.cab } } = state.pending;
    return changedState(moved, { pending: { ...state.pending, against } });
  }
  return isUnderWay(state, step) ? contradicted(moved, step, found.cue, spoiled, say) : withoutOutdated(moved);
}

/** The measurement under way does not count, for what a callout said. */
function contradicted(state: CheckState, step: Step, cue: string, spoiled: Spoiled, say: Say): CheckState {
  say({ type: 'contradicted', step, cue, condition: spoiled.condition });
  const progress = spoiledProgress(state.progress, 'contradicted', spoiled);
  const pending = isAskedHere(state) ? undefined : state.pending;
  const next = withoutOutdated(changedState(state, { progress, pending, restating: undefined }));
  stillNeeded(next, say);
  return next;
}

/**
 * The needles asked about were not those, and a callout after them contradicts the measurement: others would be called too late. Undefined
 * where nothing was called against it.
 */
export function contradictedSince(state: CheckState, say: Say): CheckState | undefined {
  const step = currentStep(state);
  const against = state.pending?.against;
  return step === undefined || against === undefined
    ? undefined
    : contradicted(state, step, against.cue, against.spoiled, say);
}

/** True when the needles asked about end the measurement of this step, if they are taken: they close it, or fail the hold already. */
function isLastAsked(state: CheckState, step: Step): boolean {
  const { pending, progress } = state;
  if (pending === undefined || !isAskedHere(state) || !isTimed(step)) return false;
  if (step.kind !== 'build' && pending.within !== true && !isWhole(pending.reading)) return false;
  return readingsComplete(step, withAsked(state, step, progress, pending));
}

/** A condition that was let go and taken up again, as far as its cue tells. */
export function renewalIn(
  step: Step,
  { start, cab }: CheckState,
  cues: readonly string[],
): ReturnType<typeof contradictionIn> {
  const cue = cues.find((each) => isRenewed(each, cab));
  const condition = conditionsOf(step, start).find(
    (each) => isOfCab(each) && cue !== undefined && says(cue, each.part, each.is),
  );
  return cue === undefined || condition === undefined ? undefined : { cue, condition };
}

function withoutOutdated(state: CheckState): CheckState {
  const gone = outdated(state.progress.cues, state.cab);
  if (gone.length === 0) return state;
  return changedState(state, {
    progress: changedProgress(state.progress, { cues: state.progress.cues.filter((cue) => !gone.includes(cue)) }),
  });
}

/** True from the first word of a measurement to its last. */
function isUnderWay(state: CheckState, step: Step): boolean {
  const { readings, half, outcome } = state.progress;
  const called = readings.length > 0 || half !== undefined || isAskedHere(state);
  return isTimed(step) && (called || (step.kind === 'event' && outcome !== undefined));
}

/** A measurement that takes time: between its first and its last word something may be called against it. */
function isTimed({ kind }: Step): boolean {
  return kind === 'hold' || kind === 'build' || kind === 'event';
}

/**
 * True when the callout belongs to the next step and this one has a measurement that is not finished, or was spoiled: the operator goes
 * on. In a recording, where nobody can be told what is missing, any step that was begun is left so.
 */
export function goesOn(state: CheckState, step: Step, event: CalloutEvent): boolean {
  if (!isOfNext(state, step, event)) return false;
  const { progress, start } = state;
  if (progress.repeatBecause !== undefined) return true;
  if (runningHold(step, progress, start.rig) !== undefined) return true;
  if (buildWindow(step, progress.readings).lower !== undefined) return true;
  if (start.asking === 'ask') return false;
  const measured = progress.outcome !== undefined || progress.readings.length > 0 || progress.half !== undefined;
  // Before a measurement has begun, its needles could be taken for those of the next.
  return measured || ((step.kind === 'confirm' || step.kind === 'observe') && progress.cues.length > 0);
}

/** True for cues of the next step that this one has not. */
export function isOfNext(state: CheckState, step: Step, event: CalloutEvent): boolean {
  const next = nextStep(state);
  const begins = [...(next?.cues ?? []), ...(next?.outcomes ?? [])];
  return cuesIn(event).some((cue) => begins.includes(cue) && !cuesOf(step).includes(cue));
}

export function nextStep({ start, index }: CheckState): Step | undefined {
  return start.plan.steps.find((step, at) => at > index && isFitted(step, start.rig));
}

/** Leaves the step without a verdict, for the reason that it is unfinished, and begins the next. */
export function leaveStep(state: CheckState, step: Step, event: CalloutEvent, say: Say): CheckState {
  const found = contradictionIn(step, state.start, cuesIn(event));
  // What spoiled it first is the reason; the words with which the operator goes on may be right.
  const spoiled: Spoiled | undefined =
    state.progress.spoiled ??
    (found === undefined || !isUnderWay(state, step)
      ? undefined
      : { condition: found.condition, by: { heard: event.heard, at: event.at } });
  const known = spoiled === undefined ? state.progress : spoiledProgress(state.progress, 'contradicted', spoiled);
  const wrong = wrongIn(state);
  if (wrong !== undefined) {
    say({ type: 'verdict', step, result: wrong.result });
    return beginStep(
      changedState(state, { restating: undefined, records: [...state.records, wrong] }),
      state.index + 1,
      say,
    );
  }
  say({ type: 'left', step });
  const record = leftOut(step, state.index, 'unfinished', unfinishedBecause(changedState(state, { progress: known })));
  const records = [...state.records, changed(record, { progress: state.progress })];
  return beginStep(changedState(state, { restating: undefined, records }), state.index + 1, say);
}

/** After a time in which nobody knows what was done in the cab: what was known is stale, and is to be called again. */
export function afterAbsence(state: CheckState, ms: number): CheckState {
  return ms <= STALE_MS ? state : withoutOutdated(changedState(state, { cab: grownStale(state.cab) }));
}

/** So long a silence is an absence: nobody says "pause" who leaves the cab. No step takes as long but a hold. Ours, no source. */
const SILENT_MS: Ms = 20 * 60_000;

/** Before a callout that breaks a long silence; the silence of a hold is its measurement. */
export function afterSilence(state: CheckState, { at }: CalloutEvent): CheckState {
  const silent = at - (state.callouts.at(-1)?.end ?? state.start.at);
  if (silent <= SILENT_MS || runningHold(currentStep(state), state.progress, state.start.rig) !== undefined)
    return state;
  return afterAbsence(state, silent);
}

/** A resumption: how long nobody listened is told by the wall clock, the only thing that went on. */
export function backFromAbsence(state: CheckState, { at, wall }: ResumedEvent): CheckState {
  const ahead = epochMs(wall) - epochMs(state.start.wall) - at;
  const gone = ahead - (state.away ?? 0);
  return changedState(afterAbsence(state, gone), { away: ahead });
}
