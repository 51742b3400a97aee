import { changed } from '../units/changed.ts';
import { withoutStop } from '../units/without-stop.ts';
import { without } from '../units/without.ts';
import { judgeCheck } from '../judging/judge.ts';
import type { CheckVerdict, StepResult } from '../judging/result.ts';
import { goesOnAfterFail, leftOutAfterFail } from './after-fail.ts';
import type { Answer } from './answer.ts';
import { buildWindow } from './build-window.ts';
import { cueWords } from './cue-words.ts';
import { isAdverse } from './cab.ts';
import type { ItemPlace } from '../items/item.ts';
import { leftIn } from '../items/said.ts';
import { isPlaceDone, judgePlace, placeOf } from './places.ts';
import type { CheckEvent } from './event.ts';
import { CONDITION_MS, runningHold } from './hold.ts';
import { judged, withUndone } from './judged.ts';
import { judgeStep } from './measure.ts';
import { currentStep, isComplete, isFitted, needsOf, readingsComplete } from './needs.ts';
import type { Step } from './plan.ts';
import { spoiledProgress } from './spoiled.ts';
import { unfinishedBecause } from './unfinished.ts';
import {
  changedProgress,
  changedState,
  withTold,
  NO_PROGRESS,
  type CheckState,
  type Progress,
  type StepRecord,
} from './state.ts';
import { withAsked } from './taken.ts';
import { isEarly, isTooSoon } from './too-soon.ts';

/** The event under way and where answers to it go. */
export interface Turn {
  readonly event: Exclude<CheckEvent, { type: 'start' }>;
  readonly say: (answer: Answer) => void;
}
export type Say = Turn['say'];

/** The first step at or after `index` that the rig has; those before it are passed over. Past the last one the check is finished. */
export function beginStep(state: CheckState, index: number, say: Say): CheckState {
  const { plan, rig } = state.start;
  let records = state.records;
  let next = index;
  for (let step = plan.steps[next]; step !== undefined; step = plan.steps[next]) {
    const reason = leftOutAfterFail(state, next);
    if (!isFitted(step, rig)) records = [...records, leftOut(step, next, 'passed-over', 'The rig does not have it.')];
    else if (reason !== undefined) records = [...records, leftOut(step, next, 'skipped', reason)];
    else break;
    next += 1;
  }
  const step = plan.steps[next];
  const fresh = changedState(state, { index: next, progress: { ...NO_PROGRESS, from: state.now }, records });
  if (step === undefined) return finish(fresh, say);
  const place = placeOf(step);
  // All of it was said already, or it was gone back past.
  if (place !== undefined && isPlaceDone(fresh, place)) return finishPlace(fresh, step, say);
  return brief(withEarly(fresh, step), step, say);
}

/** Leaves a place of the walk: it is judged on what was said of its items, and what was passed over is told. */
export function finishPlace(state: CheckState, step: Step, say: Say): CheckState {
  const record = placeRecord(state, step, state.index, 'judged');
  if (record === undefined) return state;
  say({ type: 'verdict', step, result: record.result });
  const titles = (record.result.items ?? []).filter((item) => item.state === 'passed over').map(({ title }) => title);
  if (titles.length > 0) say({ type: 'passed-over', step, titles });
  return beginStep(changedState(state, { records: [...state.records, record] }), state.index + 1, say);
}

/** The record of a place on all that was said so far; undefined for other steps. */
function placeRecord(
  state: CheckState,
  step: Step,
  index: number,
  outcome: StepRecord['outcome'],
): StepRecord | undefined {
  const place = placeOf(step);
  if (place === undefined) return undefined;
  const result = withUndone(judgePlace(state, place), index, state);
  return { index, id: step.id, outcome, result, progress: NO_PROGRESS };
}

/** The places behind us judged again: something was said of their items after they were left. */
export function withPlacesJudged(state: CheckState, items: ReadonlySet<string>): CheckState {
  const records = state.records.map((record) => {
    const step = state.start.plan.steps[record.index];
    if (step?.items?.some(({ id }) => items.has(id)) !== true) return record;
    return placeRecord(state, step, record.index, record.outcome) ?? record;
  });
  return changedState(state, { records });
}

/** The step with what was called as gone wrong in it before it began: that holds until it is corrected. */
function withEarly(state: CheckState, step: Step): CheckState {
  const own = state.early?.findLast(({ cue }) => step.outcomes?.includes(cue) === true);
  if (own === undefined) return state;
  const early = state.early?.filter(({ cue }) => step.outcomes?.includes(cue) !== true);
  return changedState(state, { early, progress: changedProgress(state.progress, { outcome: own }) });
}

/** Says what to do; with the caution, the first time. */
export function brief(state: CheckState, step: Step, say: Say): CheckState {
  const caution = step.caution !== undefined && !state.cautioned.includes(step.id);
  say({ type: 'brief', step, caution });
  return caution ? changedState(state, { cautioned: [...state.cautioned, step.id] }) : state;
}

/**
 * After the current step has gained a cue or a reading: drops a reading that no longer counts, says what began,
 * finishes the step when it has all it needs, or says what it still needs.
 */
export function gained(
  before: CheckState,
  state: CheckState,
  heard: { readonly cue?: string | undefined; readonly reading: boolean },
  say: Say,
): CheckState {
  const step = currentStep(state);
  if (step === undefined || state.index !== before.index || isAskedHere(state)) return state;
  const { rig } = state.start;
  const progress = withoutEarly(step, state, say) ?? withoutStale(step, state, say);
  const fresh = progress === state.progress ? state : changedState(state, { progress });
  const needs = needsOf(step, progress, rig);
  if (isComplete(needs)) return finishStep(fresh, step, say);
  const hold = runningHold(step, progress, rig);
  const windowStart = needs.reading ? buildWindow(step, progress.readings).lower?.start : undefined;
  if (hold !== undefined && hold.start !== runningHold(step, before.progress, rig)?.start) {
    say({ type: 'hold-started', seconds: step.holdSeconds ?? 0 });
  } else if (windowStart !== undefined && windowStart !== buildWindow(step, before.progress.readings).lower?.start) {
    say({ type: 'window-started' });
  } else if (heard.cue !== undefined && step.outcomes?.includes(heard.cue) === true && isEarly(fresh, step)) {
    say({ type: 'still-needed', step, cues: [...needs.cues, ...(step.outcomes ?? [])], reading: needs.reading });
  } else if (heard.reading && hold === undefined && windowStart === undefined && state.pending === undefined) {
    stillNeeded(fresh, say);
  } else if (heard.cue !== undefined) say({ type: 'noted', cue: heard.cue });
  return fresh;
}

/** True while a reading of the current step waits for an answer: the step cannot go on without it. */
export function isAskedHere({ pending, index }: CheckState): boolean {
  return pending !== undefined && (pending.replaces ?? index) === index;
}

export function stillNeeded(state: CheckState, say: Say): void {
  const step = currentStep(state);
  if (step === undefined) return;
  const { cues, outcomes, reading, cuesAfter } = needsOf(step, state.progress, state.start.rig);
  say({ type: 'still-needed', step, cues: [...cues, ...outcomes, ...(reading ? [] : cuesAfter)], reading });
}

/** Drops what went well before what it rests on was called. Undefined where it did not. */
function withoutEarly(step: Step, state: CheckState, say: Say): Progress | undefined {
  if (!isTooSoon(state)) return undefined;
  say({ type: 'repeat', step, because: 'outcome-early' });
  return changed(without(state.progress, 'outcome', 'cab'), { repeatBecause: 'outcome-early' });
}

/** Drops the first reading when what it should have been taken after came too long after it. */
function withoutStale(step: Step, { progress }: CheckState, say: Say): Progress {
  const [reading] = progress.readings;
  if (reading === undefined || progress.readings.length > 1) return progress;
  const conditionsLate = progress.cueAt !== undefined && progress.cueAt > reading.end + CONDITION_MS;
  if (step.kind === 'hold' && conditionsLate) {
    say({ type: 'repeat', step, because: 'conditions-late' });
    return spoiledProgress(progress, 'conditions-late');
  }
  return progress;
}

function finishStep(state: CheckState, step: Step, say: Say): CheckState {
  const { index, records } = state;
  const progress =
    state.progress.cab === undefined ? changedProgress(state.progress, { cab: state.cab }) : state.progress;
  const shown = judged(state, index, progress);
  if (step.test !== 'none') say({ type: 'verdict', step, result: shown });
  if (shown.verdict === 'fail' && goesOnAfterFail(state)) say({ type: 'fork' });
  const record: StepRecord = { index, id: step.id, outcome: 'judged', result: shown, progress };
  return beginStep(changedState(state, { records: [...records, record] }), index + 1, say);
}

/** Leaves the current step without a verdict, for a reason in words. */
export function skipStep(state: CheckState, reason: string, say: Say): CheckState {
  const step = currentStep(state);
  if (step === undefined) return state;
  say({ type: 'skipped', step, reason });
  const place = placeOf(step);
  if (place !== undefined) return skipPlace(state, step, place, reason, say);
  const wrong = wrongIn(state);
  if (wrong !== undefined) {
    say({ type: 'verdict', step, result: wrong.result });
    return beginStep(changedState(dropQuestion(state), { records: [...state.records, wrong] }), state.index + 1, say);
  }
  const { spoiled, repeatBecause, corrected, failedBefore } = state.progress;
  const outcome = isAdverse(state.progress.outcome?.cue) ? state.progress.outcome : undefined;
  const why = spoiled === undefined ? { repeatBecause } : { spoiled };
  const skipped = withCalled(
    leftOut(step, state.index, 'skipped', `skipped, ${reason}`),
    outcome === undefined ? [] : [outcome.cue],
  );
  // Going back to it finds what went wrong in it.
  const record = { ...skipped, progress: changed(NO_PROGRESS, { ...why, corrected, failedBefore, outcome }) };
  const left = dropQuestion(unanswered(state));
  return beginStep(changedState(left, { records: [...left.records, record] }), state.index + 1, say);
}

/** The items of the place that have no answer are skipped for the reason; what was said of the others stands. */
function skipPlace(state: CheckState, step: Step, place: ItemPlace, reason: string, say: Say): CheckState {
  const items = { ...state.items };
  for (const { id } of leftIn(place, items))
    items[id] = { ...(items[id] ?? { bad: [] }), at: state.now, heard: `skipped, ${reason}`, skipped: reason };
  const next = changedState(dropQuestion(state), { items });
  const record = placeRecord(next, step, state.index, 'skipped');
  if (record === undefined) return state;
  if (record.result.verdict === 'fail') say({ type: 'verdict', step, result: record.result });
  return beginStep(changedState(next, { records: [...next.records, record] }), state.index + 1, say);
}

/**
 * Restarts the current step when something has been gathered in it, else the step before. Its result is dropped, and
 * the whole-check clock if it was set there; what was said stays among the callouts.
 */
export function goBack(state: CheckState, say: Say): CheckState {
  const step = currentStep(state);
  if (step === undefined) return state;
  const { cues, outcome, readings, half } = state.progress;
  const untouched = cues.length === 0 && outcome === undefined && readings.length === 0 && half === undefined;
  const before = state.records.findLast(
    (record) => record.outcome !== 'passed-over' && leftOutAfterFail(state, record.index) === undefined,
  );
  const index = untouched && state.pending === undefined && before !== undefined ? before.index : state.index;
  const target = state.start.plan.steps[index] ?? step;
  say({ type: 'went-back', step: target });
  const records = state.records.filter((record) => record.index < index);
  const clock = { ...state.clock };
  if (target.startsClock !== undefined) delete clock.start;
  if (target.stopsClock !== undefined) delete clock.end;
  const undone = state.records.filter((record) => record.index >= index && record.result.verdict === 'fail');
  const left = state.records.find((record) => record.index === index);
  const isGone = left !== undefined && (left.outcome === 'skipped' || left.result.verdict === 'fail');
  const gone = index === state.index ? state.progress : isGone ? left.progress : undefined;
  const asked = unanswered(state);
  const back = changedState(dropQuestion(asked), { records, clock, undone: [...(asked.undone ?? []), ...undone] });
  const { failedBefore, corrected } = (index === state.index ? state.progress : left?.progress) ?? NO_PROGRESS;
  const again = beginStep(back, index, say);
  const begun = changedState(again, {
    progress: changedProgress(again.progress, changed({}, { failedBefore, corrected })),
  });
  // What went wrong is not taken back by going back.
  if (gone?.outcome === undefined || !isAdverse(gone.outcome.cue)) return begun;
  return changedState(begun, { progress: { ...begun.progress, outcome: gone.outcome } });
}

/** Drops what an interruption spoils: the readings and the question of the step under way. Its cues stay heard. */
export function dropMeasurement(state: CheckState, because: NonNullable<Progress['repeatBecause']>): CheckState {
  const { progress } = state;
  const step = currentStep(state);
  // A moment whose needles have not been called is gone; what went wrong is not.
  const moment = step?.kind === 'event' && progress.outcome !== undefined && !isAdverse(progress.outcome.cue);
  const measured = progress.readings.length > 0 || progress.half !== undefined || state.pending !== undefined;
  if (!measured && !moment) return state;
  // A plain reading is not spoiled by a gap that follows it.
  const timed = step?.kind === 'hold' || step?.kind === 'build' || (moment && progress.readings.length === 0);
  const told = step?.kind === 'build' && because === 'paused' ? withTold(state, brokenOff(state)) : state;
  return changedState(dropQuestion(unanswered(told)), {
    progress: timed ? spoiledProgress(told.progress, because) : changedProgress(progress, { half: undefined }),
  });
}

/** A window that is broken off by its operator may have been lost already. */
function brokenOff({ progress, now }: CheckState): string {
  const seconds = Math.round((now - (progress.readings[0]?.start ?? now)) / 1000);
  return `A window was paused ${String(seconds)} s after its first needles, and begun again`;
}

/** The state that remembers needles which were asked about, would fail the step under way, and are dropped without an answer. */
function unanswered(state: CheckState): CheckState {
  const { pending, index, start, records } = state;
  const step = currentStep(state);
  if (pending === undefined || step === undefined || !isAskedHere(state)) return state;
  const progress = withAsked(state, step, state.progress, pending);
  if (!readingsComplete(step, progress)) return state;
  const cab = progress.cab ?? pending.against?.cab ?? state.cab;
  const result = judgeStep(index, changedProgress(progress, { cab }), start, records);
  if (result.verdict !== 'fail') return state;
  const reason = `${withoutStop(result.reason)} (asked, and not answered)`;
  const record: StepRecord = { index, id: step.id, outcome: 'judged', result: { ...result, reason }, progress };
  return changedState(state, { undone: [...(state.undone ?? []), record] });
}

export function dropQuestion(state: CheckState): CheckState {
  if (state.pending === undefined && state.restating === undefined) return state;
  return changedState(state, { pending: undefined, restating: undefined });
}

/** The check is over before its last step: what is left is not judged. */
export function endEarly(state: CheckState, stopped: boolean, say: Say): CheckState {
  const { plan, rig } = state.start;
  const underWay = unfinishedBecause(state);
  let records = state.records;
  for (let index = state.index; index < plan.steps.length; index += 1) {
    const step = plan.steps[index];
    if (step === undefined) continue;
    const place = placeRecord(state, step, index, 'unfinished');
    // A place of which nothing was said is left out like any step.
    const isSaid = step.items?.some(({ id }) => state.items?.[id] !== undefined) === true;
    if (place !== undefined && (isSaid || place.result.verdict === 'fail')) {
      records = [...records, place];
      continue;
    }
    const bad = index === state.index ? wrongIn(state) : undefined;
    if (bad !== undefined) {
      records = [...records, bad];
      continue;
    }
    const why = stopped ? 'the check was stopped' : index === state.index ? underWay : 'not finished';
    const record = isFitted(step, rig)
      ? leftOut(step, index, 'unfinished', why)
      : leftOut(step, index, 'passed-over', 'The rig does not have it.');
    records = [
      ...records,
      index === state.index ? withSaid(record, state.progress) : withCalled(record, calledEarly(step, state)),
    ];
  }
  return finish(
    changedState(dropQuestion(state), { records, index: plan.steps.length, progress: NO_PROGRESS, stopped }),
    say,
  );
}

/** The step under way judged on what went wrong in it, however it is left. Undefined where nothing did. */
export function wrongIn(state: CheckState): StepRecord | undefined {
  const { index, progress } = state;
  const step = currentStep(state);
  if (step === undefined || !isAdverse(progress.outcome?.cue)) return undefined;
  const result = judged(state, index, changedProgress(progress, { cab: progress.cab ?? state.cab }));
  return result.verdict === 'fail' ? { index, id: step.id, outcome: 'judged', result, progress } : undefined;
}

/** What was said in a step that was not finished is told of all the same: it may be about the one before. */
function withSaid(record: StepRecord, { strays = [], told = [] }: Progress): StepRecord {
  const flags = [...(record.result.flags ?? []), ...strays, ...told];
  return flags.length === 0 ? record : changed(record, { result: changed(record.result, { flags }) });
}

/** What was called as gone wrong in a step before it was begun. */
function calledEarly({ outcomes }: Step, { early = [] }: CheckState): string[] {
  return early.map(({ cue }) => cue).filter((cue) => outcomes?.includes(cue) === true);
}

/** The record of a step without a verdict that tells of these cues. */
function withCalled(record: StepRecord, cues: readonly string[]): StepRecord {
  if (record.outcome === 'passed-over' || cues.length === 0) return record;
  const flags = cues.map((cue) => `“${cueWords(cue)}” was called`);
  return changed(record, { result: changed(record.result, { flags }) });
}

/** The verdict of the whole check on these steps. */
export function verdictOf(records: readonly StepRecord[]): CheckVerdict {
  return judgeCheck(records.map(({ outcome, result }) => ({ required: outcome !== 'passed-over', result })));
}

function finish(state: CheckState, say: Say): CheckState {
  const verdict = verdictOf(state.records);
  const { start, end } = state.clock;
  const seconds = start === undefined || end === undefined ? {} : { seconds: (end - start) / 1000 };
  say({ type: 'finished', verdict, ...seconds, stopped: state.stopped });
  return changedState(state, { verdict });
}

export function leftOut(step: Step, index: number, outcome: StepRecord['outcome'], reason: string): StepRecord {
  const result: StepResult = { verdict: 'not judged', reason, figures: {}, limits: [] };
  return { index, id: step.id, outcome, result, progress: NO_PROGRESS };
}
