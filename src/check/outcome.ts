import { changed } from '../units/changed.ts';
import type { Ms } from '../units/time.ts';
import { without } from '../units/without.ts';
import { isAdverse, movedBy, takenBack } from './cab.ts';
import { takenBefore } from './callouts.ts';
import { withDenials } from './denied.ts';
import { cuesIn, type CalloutEvent } from './event.ts';
import { dropQuestion, gained, isAskedHere, stillNeeded, type Say } from './flow.ts';
import { heedCab } from './heed.ts';
import { judged } from './judged.ts';
import { cuesOf, currentStep } from './needs.ts';
import type { Step } from './plan.ts';
import { markLast, RESTATE_MS } from './readings.ts';
import { spoiledProgress } from './spoiled.ts';
import { withDenied, withFail, withFailOf } from './taken-back.ts';
import { changedProgress, changedState, type CheckState, type Progress, type StepRecord } from './state.ts';

/** A correction reaches back so far into a step that is over; what is older is done again. Ours, no source. */
export const CORRECTION_MS: Ms = 60_000;

/** The state with what was seen or felt, or the moment that was called; its conditions are judged on the cab before it. */
export function withOutcome(state: CheckState, cue: string, event: CalloutEvent): CheckState {
  return changedState(state, {
    cab: movedBy(state.cab, [cue], event),
    progress: changedProgress(withoutDropped(state.progress), { outcome: { cue, at: event.at }, cab: state.cab }),
  });
}

/** What was called too soon is called anew. */
function withoutDropped(progress: Progress): Progress {
  return progress.repeatBecause === 'outcome-early' ? without(progress, 'repeatBecause') : progress;
}

/**
 * An adverse cue of a step that is behind us (all are, without a `step`): the step is judged again on it, however well it went before. Undefined when the callout has
 * none, or the step under way waits for it itself and has begun.
 */
export function calledAdverse(
  state: CheckState,
  step: Step | undefined,
  event: CalloutEvent,
  say: Say,
): CheckState | undefined {
  for (const cue of cuesIn(event)) {
    if (!isAdverse(cue) || (step?.outcomes?.includes(cue) === true && isBegun(state))) continue;
    const record = lastWith(state, cue);
    if (record === undefined || record.progress.outcome?.cue === cue) continue;
    return judgedOn(state, record, cue, event, say);
  }
  return undefined;
}

/** An adverse cue of a step that lies ahead: kept for it. */
export function keepEarly(state: CheckState, step: Step, event: CalloutEvent, say: Say): CheckState {
  const cue = event.meaning?.cues.find(
    (each) =>
      isAdverse(each) &&
      step.outcomes?.includes(each) !== true &&
      lastWith(state, each) === undefined &&
      isAhead(state, each),
  );
  if (cue === undefined) return state;
  say({ type: 'noted', cue });
  const early = [...(state.early ?? []), { cue, at: event.at }];
  return markLast(changedState(state, { early }));
}

/** True when a step that lies ahead may see, feel or wait for it. */
export function isAhead({ start, index }: CheckState, cue: string): boolean {
  return start.plan.steps.slice(index + 1).some(({ outcomes }) => outcomes?.includes(cue) === true);
}

/** True when `calledAdverse` has something to judge again in a check that is over. */
export function hasAdverse(state: CheckState, cues: readonly string[]): boolean {
  return cues.some((cue) => {
    const record = isAdverse(cue) ? lastWith(state, cue) : undefined;
    return record !== undefined && record.progress.outcome?.cue !== cue;
  });
}

function isBegun({ progress }: CheckState): boolean {
  return progress.cues.length > 0 || progress.outcome !== undefined || progress.repeatBecause !== undefined;
}

/**
 * "Correction, rig held": what was seen or felt is replaced, in this step or in the last one that it belongs to. What is said of the cab beside it
 * is heeded, in the order spoken.
 */
export function correctOutcome(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const cues = cuesIn(event);
  const seen = cues.filter((cue) => isOutcome(state, cue));
  const outcome = seen.find(isAdverse) ?? seen[0];
  if (outcome === undefined) {
    say({ type: 'not-here', command: 'correction' });
    return heeded(changedState(state, { restating: undefined }), event, cues, say);
  }
  const place = cues.indexOf(outcome);
  const first = cues.slice(0, place).filter((cue) => !seen.includes(cue));
  const before = heeded(state, event, first, say);
  const replaced = replaceOutcome(before, outcome, event, first, say);
  return heeded(replaced, { ...event, at: event.end }, cues.slice(place + 1), say);
}

function heeded(state: CheckState, event: CalloutEvent, cues: readonly string[], say: Say): CheckState {
  const step = currentStep(state);
  if (step === undefined || cues.length === 0) return state;
  const kept = keepEarly(state, step, { ...event, meaning: { cues } }, say);
  const words = { ...event, meaning: { cues: cues.filter((cue) => !isOutcome(state, cue) && !isAhead(state, cue)) } };
  return heedCab(withDenials(kept, words, say), step, words, say);
}

/** `first` are the cues spoken before it in the same breath. */
function replaceOutcome(
  state: CheckState,
  cue: string,
  event: CalloutEvent,
  first: readonly string[],
  say: Say,
): CheckState {
  const step = currentStep(state);
  const settled = changedState(state, { restating: undefined });
  if (step?.outcomes?.includes(cue) === true) {
    const next = markLast(withOutcome(takenBackIn(withoutNeedles(settled, step), cue), cue, event));
    return gained(settled, next, { cue, reading: isAskedHere(settled) }, say);
  }
  const record = lastWith(state, cue);
  const since = record?.progress.outcome?.at ?? -Infinity;
  if (record !== undefined && event.at <= since + CORRECTION_MS) {
    const { cab = settled.cab } = record.progress;
    const on = changed(record, { progress: changedProgress(record.progress, { cab: movedBy(cab, first, event) }) });
    const records = settled.records.map((each) => (each === record ? on : each));
    return correctedIn(changedState(settled, { records }), on, cue, event, say);
  }
  say({ type: 'not-here', command: 'correction' });
  return settled;
}

/** The progress with what was called as gone wrong among what was taken back, when `cue` says otherwise. */
function withCorrected(progress: Progress, cue: string): Progress {
  const { outcome, corrected = [] } = progress;
  if (outcome === undefined || outcome.cue === cue || !isAdverse(outcome.cue)) return progress;
  return changedProgress(progress, { corrected: [...corrected, outcome.cue] });
}

function takenBackIn(state: CheckState, cue: string): CheckState {
  return changedState(state, { progress: withCorrected(state.progress, cue) });
}

/** Needles belong to a moment; those of another are none of it, nor those that are still asked about. */
function withoutNeedles(state: CheckState, step: Step): CheckState {
  if (step.kind !== 'event') return state;
  // What went wrong is told of as corrected; needles that failed it are not forgotten either.
  const isTold = isAdverse(state.progress.outcome?.cue);
  const isAsked = isAskedHere(state);
  const denied = isAsked && !isTold ? withDenied(state) : state;
  const { index, progress } = denied;
  const cleared = changedProgress(progress, { readings: [], half: undefined });
  const kept = isTold || progress.readings.length === 0 ? cleared : withFail(denied, index, cleared, progress);
  return changedState(isAsked ? dropQuestion(denied) : denied, { progress: kept });
}

/** A step behind us on another outcome: judged again, or, where its needles were those of another moment, under way again. */
function correctedIn(state: CheckState, record: StepRecord, cue: string, event: CalloutEvent, say: Say): CheckState {
  const step = state.start.plan.steps[record.index];
  if (step?.kind !== 'event') return judgedOn(state, record, cue, event, say);
  const cleared = changedProgress(withCorrected(record.progress, cue), { readings: [] });
  const kept = isAdverse(record.progress.outcome?.cue) ? cleared : withFailOf(record, cleared);
  const reopened = reopen(state, record, kept);
  const next = markLast(withOutcome(reopened, cue, event));
  stillNeeded(next, say);
  return next;
}

/** The step under way again, with this progress; what was judged after it is gone. What was seen or felt in it stays that of the cab as it was then. */
function reopen(state: CheckState, { index }: StepRecord, progress: Progress): CheckState {
  return changedState(state, {
    index,
    progress: progress.outcome === undefined ? without(progress, 'cab') : progress,
    records: state.records.filter((each) => each.index < index),
  });
}

/** The cues of the last callout that was taken, when it had no needles. */
function lastCues(state: CheckState): readonly string[] {
  const { meaning } = takenBefore(state) ?? {};
  return meaning?.reading === undefined ? cuesIn({ meaning }) : [];
}

/** "Correction" or "no" right after a cue: it is taken back, and what rested on it is gone. Undefined when there is none. */
export function takeBack(state: CheckState, event: CalloutEvent, say: Say): CheckState | undefined {
  const cues = lastCues(state);
  if (cues.length === 0) return undefined;
  const adverse = cues.some(isAdverse);
  if (adverse) {
    say({ type: 'say-what-it-was' });
    return changedState(state, { restating: { since: event.at, outcome: true } });
  }
  const here = currentStep(state);
  const isHere = here !== undefined && cues.some((cue) => cuesOf(here).includes(cue));
  const record = state.records.findLast(({ outcome }) => outcome !== 'passed-over');
  const back = isHere || record?.outcome !== 'judged' ? state : reopen(state, record, record.progress);
  const step = currentStep(back);
  if (step === undefined || !cues.some((cue) => cuesOf(step).includes(cue))) {
    stillNeeded(state, say);
    return changedState(state, { cab: takenBack(state.cab, cues) });
  }
  const progress = withoutCues(back.progress, cues);
  const follows = cues.every((cue) => step.cuesAfter?.includes(cue) === true);
  if (follows) {
    stillNeeded(changedState(back, { progress }), say);
    // The needles before them may be meant as well: the next ones take their place.
    return changedState(back, {
      cab: takenBack(back.cab, cues),
      pending: undefined,
      restating: { since: event.at },
      progress,
    });
  }
  const measured = progress.readings.length > 0 || progress.half !== undefined;
  const next = changedState(back, {
    cab: takenBack(back.cab, cues),
    pending: undefined,
    restating: undefined,
    progress: measured ? spoiledProgress(progress, 'contradicted') : progress,
  });
  stillNeeded(next, say);
  return next;
}

function withoutCues(progress: Progress, cues: readonly string[]): Progress {
  const isGone = progress.outcome !== undefined && cues.includes(progress.outcome.cue);
  const kept = changedProgress(progress, { cues: progress.cues.filter((cue) => !cues.includes(cue)) });
  return isGone ? without(kept, 'outcome', 'cab') : kept;
}

/** True when the callout says what a bare "correction" before it was about. */
export function isOutcomeRestated(state: CheckState, event: CalloutEvent): boolean {
  const { restating } = state;
  if (restating?.outcome !== true || event.at > restating.since + RESTATE_MS) return false;
  return cuesIn(event).some((cue) => isOutcome(state, cue));
}

/** True for what the step under way or one behind it may have seen, felt or waited for. */
export function isOutcome(state: CheckState, cue: string): boolean {
  return currentStep(state)?.outcomes?.includes(cue) === true || lastWith(state, cue) !== undefined;
}

/** The last step behind us that had such a thing to see, feel or wait for. */
export function lastWith({ records, start }: CheckState, cue: string): StepRecord | undefined {
  return records.findLast(
    ({ outcome, index }) => outcome === 'judged' && start.plan.steps[index]?.outcomes?.includes(cue) === true,
  );
}

function judgedOn(state: CheckState, record: StepRecord, cue: string, event: CalloutEvent, say: Say): CheckState {
  const step = state.start.plan.steps[record.index];
  if (step === undefined) return state;
  const progress = changedProgress(withCorrected(record.progress, cue), { outcome: { cue, at: event.at } });
  const result = judged(state, record.index, progress);
  say({ type: 'verdict', step, result });
  const records = state.records.map((each) => (each === record ? changed(record, { progress, result }) : each));
  const moved = changedState(state, { records, cab: movedBy(state.cab, [cue], event) });
  return markLast(moved);
}
