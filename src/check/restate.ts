import type { SpokenReading } from '../grammar/meaning.ts';
import { CIRCUITS } from '../units/circuit.ts';
import type { Ms } from '../units/time.ts';
import { withNeedles } from './air-lost.ts';
import { buildWindow } from './build-window.ts';
import { isAdverse } from './cab.ts';
import { placeOfLast } from './callouts.ts';
import { cuesIn, type CalloutEvent } from './event.ts';
import { doubtAbout, isLowConfidence } from './doubt.ts';
import { dropQuestion, gained, stillNeeded, type Say } from './flow.ts';
import { contradictedSince } from './heed.ts';
import { runningHold } from './hold.ts';
import { judged } from './judged.ts';
import { judgeStep } from './measure.ts';
import { currentStep, isComplete, needsOf } from './needs.ts';
import { correctOutcome, CORRECTION_MS, takeBack } from './outcome.ts';
import type { Step } from './plan.ts';
import {
  ask,
  hearHalf,
  hearReading,
  isWhole,
  keepHalf,
  markTaken,
  place,
  placeWithin,
  RESTATE_MS,
  spokenOf,
  take,
  takeWithin,
} from './readings.ts';
import { ANSWER_MS } from './signal.ts';
import {
  changedProgress,
  changedState,
  type CalledReading,
  type CheckState,
  type Pending,
  type Progress,
  type StepRecord,
} from './state.ts';
import { withAsked, withWithin } from './taken.ts';
import { withDenied, withFail, withFailOf, withHalfDenied } from './taken-back.ts';

const BY_READING = { reading: true } as const;

/**
 * "Correction", with the right values or alone: it reaches back to the last reading, in this step or in the one just
 * judged. The times stay those of the words corrected: the needles were read then, only the numbers were wrong.
 */
export function correct(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const spoken = event.meaning?.reading;
  const { half } = state.progress;
  if (spoken === undefined && cuesIn(event).length > 0) return correctOutcome(state, event, say);
  const back = spoken === undefined ? takeBack(state, event, say) : undefined;
  if (back !== undefined) return back;
  if (!isRestated(state, event) && !lastReadingWasTaken(state) && !isRecanted(state)) {
    if (spoken !== undefined) return gained(state, hearReading(state, { spoken, event }, say), BY_READING, say);
    say({ type: 'not-here', command: 'correction' });
    return state;
  }
  if (spoken === undefined) {
    say({ type: 'call-again' });
    return recantLast(state, event);
  }
  const fresh = changedState(state, { restating: undefined });
  if (half !== undefined) return restateHalf(withHalfDenied(fresh), half.reading, event, say);
  const target = lastTaken(state);
  if (target === undefined) return state;
  const reading = merged(target.reading, spoken, state);
  const progress = progressOf(state, target.index);
  const { readings } = progress;
  // One circuit says nothing of the other, where both were taken back.
  const isDoubted = isRestated(state, event) && isWhole(target.reading) && !isWhole(spoken);
  if (readings.at(-1) !== target.reading) return replace(fresh, target.index, reading, { event, isDoubted }, say);
  const step = state.start.plan.steps[target.index];
  const before = changedProgress(progress, { readings: readings.slice(0, -1) });
  // Needles that were called in time for their moment stay so.
  const atItsMoment = step?.kind === 'event' ? reading : inItsMoment(before, step, reading, event);
  const isOpening = step?.kind === 'hold' && readings.length === 1 && target.index === state.index;
  // So long after it, other needles are not the same ones read wrongly: the hold begins with them.
  if (step !== undefined && isOpening && atItsMoment !== reading) {
    const isLow = isDoubted || isLowConfidence(event, reading);
    const open = changedState(fresh, { progress: changedProgress(before, { contested: undefined }) });
    return gained(state, place(open, step, atItsMoment, isLow, say), BY_READING, say);
  }
  return replace(fresh, target.index, atItsMoment, { event, isDoubted }, say);
}

/**
 * "Correction" alone: one circuit is forgotten, and so are needles within a hold, as if they had not been called; others stand until others
 * take their place, and their step is marginal at best without them.
 */
function recantLast(state: CheckState, event: CalloutEvent): CheckState {
  if (state.progress.half !== undefined) {
    const denied = withHalfDenied(state);
    return changedState(denied, { progress: changedProgress(denied.progress, { half: undefined }) });
  }
  const { within = [], readings } = state.progress;
  if (readings.length === 1 && within.length > 0) {
    const without = withWithin(state, state.index, state.progress, within.slice(0, -1));
    return changedState(state, { progress: withFail(state, state.index, without, state.progress) });
  }
  const target = lastTaken(state);
  const recanted = target === undefined ? state : withRecanted(state, target.index);
  return changedState(recanted, { restating: { since: event.at } });
}

/** Needles called later than this in the place of others are not the same ones read wrongly, but were read anew. Ours, no source. */
const SAME_LOOK_MS: Ms = 10_000;

/**
 * Needles in the place of others, in a step that has not got them yet. Their moment is that of the words replaced; but where they were read
 * anew it is their own, if the earlier one would be the better for the rig: where a hold begins, a moment is over or a window ends.
 */
function inItsMoment(
  progress: Progress,
  step: Step | undefined,
  reading: CalledReading,
  event: CalloutEvent,
  isSameLook = event.at <= reading.end + SAME_LOOK_MS,
): CalledReading {
  return isSameLook || !isBetterEarlier(progress, step, reading)
    ? reading
    : { ...reading, start: event.at, end: event.end };
}

function isBetterEarlier(progress: Progress, step: Step | undefined, reading: CalledReading): boolean {
  if (step?.kind === 'hold') return progress.readings.length === 0;
  if (step?.kind === 'build') return buildWindow(step, [...progress.readings, reading]).upper !== undefined;
  return step?.kind === 'event';
}

/** True when the words came soon enough after a bare "correction" to be the corrected values. */
export function isRestated({ restating }: CheckState, event: CalloutEvent): boolean {
  if (restating === undefined || restating.onset !== undefined || restating.outcome === true) return false;
  return event.at <= restating.since + RESTATE_MS;
}

/** "No", after a read-back: the same as a bare "correction". */
export function reject(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  // A "no" after the "yes" to a question is about what the question was about.
  const previous = state.callouts.slice(0, -1).findLast(({ meaning }) => meaning?.command !== 'yes');
  if (previous?.meaning?.reading !== undefined && previous.taken) return correct(state, event, say);
  // What went wrong is taken back by “correction” alone.
  const isTaken = previous?.taken === true && previous.meaning?.cues.some(isAdverse) !== true;
  const back = isTaken ? takeBack(state, event, say) : undefined;
  if (back !== undefined) return back;
  say({ type: 'not-here', command: 'no' });
  return state;
}

export function merged(old: CalledReading, spoken: SpokenReading, state: CheckState): CalledReading {
  const { start, end, callouts } = old;
  return { ...spokenOf(old), ...spoken, start, end, callouts: [...callouts, placeOfLast(state)] };
}

/** A reading that was logged but not taken (called too early, denied) cannot be corrected. */
function lastReadingWasTaken(state: CheckState): boolean {
  const now = placeOfLast(state);
  const spoken = state.callouts.findLast(({ meaning }, index) => index < now && meaning?.reading !== undefined);
  return spoken?.taken === true && (state.progress.half !== undefined || lastTaken(state) !== undefined);
}

/** The last reading of the current step, else of the step just judged. */
function lastTaken(state: CheckState): { index: number; reading: CalledReading } | undefined {
  const here = lastOf(state.progress);
  if (here !== undefined) return { index: state.index, reading: here };
  const record = justJudged(state);
  const last = record === undefined ? undefined : lastOf(record.progress);
  const isOld = last !== undefined && state.now > last.end + CORRECTION_MS;
  const there = isOld ? undefined : last;
  return record === undefined || there === undefined ? undefined : { index: record.index, reading: there };
}

/** The last reading called of a measurement: of those within a hold, when it was not closed. */
function lastOf({ readings, within }: Progress): CalledReading | undefined {
  return readings.length === 1 ? (within?.at(-1) ?? readings[0]) : readings.at(-1);
}

export function justJudged({ records }: CheckState): StepRecord | undefined {
  const record = records.findLast(({ outcome }) => outcome !== 'passed-over');
  return record?.outcome === 'judged' ? record : undefined;
}

function restateHalf(state: CheckState, half: CalledReading, event: CalloutEvent, say: Say): CheckState {
  const step = currentStep(state);
  if (step === undefined) return state;
  const reading = inItsMoment(state.progress, step, merged(half, event.meaning?.reading ?? {}, state), event);
  if (!isWhole(reading)) return hearHalf(state, reading, event, say);
  return gained(state, place(state, step, reading, isLowConfidence(event, reading), say), BY_READING, say);
}

/** Puts a reading in the place of the last one of a step, or asks about it. */
function replace(
  state: CheckState,
  index: number,
  reading: CalledReading,
  { event, isDoubted }: Doubted,
  say: Say,
): CheckState {
  const progress = withLast(state, index, reading);
  const because = doubtAbout(state, index, progress, reading, isDoubted || isLowConfidence(event, reading));
  if (because !== undefined) return ask(state, { reading, because, replaces: index, recants: true }, say);
  return putBack(state, index, reading, say);
}

/** Said of a step whose needles were taken back, until others take their place. */
const RECANTED = '“correction” was called, and no other needles';

/** A step whose needles are taken back is marginal at best until others are called. */
function withRecanted(state: CheckState, index: number): CheckState {
  const kept = progressOf(state, index);
  const progress = changedProgress(kept, { contested: kept.contested ?? RECANTED });
  const record = state.records.find((each) => each.index === index);
  if (index === state.index || record === undefined) return changedState(state, { progress });
  const result = judged(state, index, progress);
  return changedState(state, {
    records: state.records.map((each) => (each === record ? { ...record, progress, result } : each)),
  });
}

/** True while needles that were taken back wait for others. */
function isRecanted(state: CheckState): boolean {
  const target = lastTaken(state);
  return target !== undefined && progressOf(state, target.index).contested === RECANTED;
}

/** Says what a step comes to whose needles were taken back, when the operator goes on without others. */
export function tellRecanted(state: CheckState, say: Say): void {
  const record = justJudged(state);
  const step = record === undefined ? undefined : state.start.plan.steps[record.index];
  if (record?.progress.contested === RECANTED && step !== undefined)
    say({ type: 'verdict', step, result: record.result });
}

/** True when needles that come with, or after, what belongs to the step under way are not those that were taken back. */
export function restatesOther(state: CheckState): boolean {
  const target = lastTaken(state);
  return target !== undefined && target.index !== state.index;
}

export function withLast(state: CheckState, index: number, reading: CalledReading): Progress {
  const kept = progressOf(state, index);
  const progress = kept.contested === RECANTED ? changedProgress(kept, { contested: undefined }) : kept;
  const latest = spokenOf(reading);
  const { within = [], readings, openings = [] } = progress;
  if (readings.length !== 1 || within.length === 0) {
    const isHold = state.start.plan.steps[index]?.kind === 'hold';
    return {
      ...progress,
      readings: [...readings.slice(0, -1), reading],
      latest,
      ...(isHold ? { openings: [...openings, ...readings] } : {}),
    };
  }
  return withWithin(state, index, { ...progress, latest }, [...within.slice(0, -1), reading]);
}

function progressOf(state: CheckState, index: number): Progress {
  if (index === state.index) return state.progress;
  return state.records.find((record) => record.index === index)?.progress ?? state.progress;
}

/** The step that the reading belongs to goes on, or is judged again, or is under way again if it is no longer complete. */
function putBack(state: CheckState, index: number, reading: CalledReading, say: Say): CheckState {
  const step = state.start.plan.steps[index];
  if (step === undefined) return state;
  const corrected = withLast(state, index, reading);
  // A moment that still waits for a cue after its needles has no verdict yet that would be remembered.
  const progress =
    step.kind === 'event' && index === state.index
      ? withFail(state, index, corrected, state.progress)
      : withFailOf(
          state.records.find((record) => record.index === index),
          corrected,
        );
  say({ type: 'read-back', reading: spokenOf(reading), corrected: true });
  const taken = markTaken(changedState(withNeedles(state, step, reading), { pending: undefined }), reading);
  if (index === state.index) return gained(state, changedState(taken, { progress }), BY_READING, say);
  if (!isComplete(needsOf(step, progress, state.start.rig))) {
    const reopened = changedState(taken, {
      index,
      progress,
      records: taken.records.filter((record) => record.index < index),
    });
    stillNeeded(reopened, say);
    return reopened;
  }
  const result = judged(state, index, progress);
  if (step.test !== 'none') say({ type: 'verdict', step, result });
  const records = taken.records.map((record) => (record.index === index ? { ...record, progress, result } : record));
  return changedState(taken, { records });
}

/** "Yes": the reading asked about is taken. */
export function confirm(state: CheckState, say: Say): CheckState {
  return state.pending === undefined ? state : settle(state, state.pending, doubtful(state.pending), say);
}

/** Nobody answered: the reading is taken, and says so. */
export function takeUnconfirmed(state: CheckState, say: Say): CheckState {
  if (state.pending === undefined) return state;
  return settle(state, state.pending, { ...doubtful(state.pending), unconfirmed: true }, say);
}

/** The reading as it is taken after its question: needles that can hardly have done that keep the mark of it. */
function doubtful({ reading, because }: Pending): CalledReading {
  return because === 'implausible' ? { ...reading, doubted: true } : reading;
}

function settle(state: CheckState, pending: Pending, reading: CalledReading, say: Say): CheckState {
  const asked = underCabOf(pending, dropQuestion(state));
  const step = currentStep(asked);
  if (step === undefined) return asked;
  if (pending.replaces !== undefined) return putBack(asked, pending.replaces, reading, say);
  if (pending.within === true) return gained(asked, takeWithin(asked, step, reading, say), BY_READING, say);
  if (step.kind !== 'build' && !isWhole(reading)) return keepHalf(asked, reading);
  return gained(asked, take(asked, step, reading, say), BY_READING, say);
}

/** What was called against needles after their words does not count for them. */
function underCabOf({ against }: Pending, state: CheckState): CheckState {
  const { progress } = state;
  return against === undefined || progress.cab !== undefined
    ? state
    : changedState(state, { progress: changedProgress(progress, { cab: against.cab }) });
}

/** "No": the reading asked about is dropped; the next one keeps its onset, but where it begins a hold. */
export function deny(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const { pending } = state;
  const spoiled = contradictedSince(withDenied(state), say);
  if (spoiled !== undefined) return spoiled;
  say({ type: 'call-again' });
  // What was called while the hold ran is over: the next needles are a reading of their own.
  if (pending?.within === true) return dropQuestion(withDenied(state));
  const recanted = pending?.recants === true ? withRecanted(state, pending.replaces ?? state.index) : state;
  const restating =
    pending?.replaces === undefined && pending !== undefined
      ? { since: event.at, onset: pending.reading.start }
      : { since: event.at };
  return changedState(dropQuestion(withDenied(recanted)), { restating });
}

/** Other values in answer to a question: they take the place of those asked about, and are weighed anew. */
export function amend(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const { pending } = state;
  const spoken = event.meaning?.reading;
  if (spoken === undefined && cuesIn(event).length > 0) return correctOutcome(state, event, say);
  if (pending === undefined || spoken === undefined) return deny(state, event, say);
  const reading = inItsMoment(state.progress, currentStep(state), merged(pending.reading, spoken, state), event);
  return weighAnew(dropQuestion(withDenied(state)), pending, reading, { event, isDoubted: false }, say);
}

/** The callout that other values were heard in; some of them may not have been said again. */
interface Doubted {
  readonly event: CalloutEvent;
  readonly isDoubted: boolean;
}

function weighAnew(
  state: CheckState,
  pending: Pending,
  reading: CalledReading,
  { event, isDoubted }: Doubted,
  say: Say,
): CheckState {
  const step: Step | undefined = currentStep(state);
  if (step === undefined) return state;
  const isLow = isDoubted || isLowConfidence(event, reading);
  if (pending.against !== undefined) {
    // Other needles would be called too late, but those that fail it too were read before.
    const asked: Pending = { ...pending, reading, because: 'would-fail' };
    const { index, progress, start, records } = underCabOf(pending, state);
    const { verdict } = judgeStep(index, withAsked(state, step, progress, asked), start, records);
    if (verdict === 'fail') return ask(state, asked, say);
    return contradictedSince(changedState(state, { pending }), say) ?? state;
  }
  if (pending.replaces !== undefined)
    return isDoubted
      ? ask(state, { ...pending, reading, because: 'low-confidence' }, say)
      : replace(state, pending.replaces, reading, { event, isDoubted }, say);
  const hold = runningHold(step, state.progress, state.start.rig);
  if (pending.within === true && hold !== undefined)
    return gained(state, placeWithin(state, step, reading, isLow, say), BY_READING, say);
  if (step.kind !== 'build' && !isWhole(reading)) return hearHalf(state, reading, event, say);
  return gained(state, place(state, step, reading, isLow, say), BY_READING, say);
}

/**
 * Needles called instead of a yes or no: the same again confirm, unless they come so late that their moment is another; others are what is
 * asked about from now on. One needle says nothing of the other, and those of the next step nothing of this one: it is asked again.
 */
export function answerByReading(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const { pending } = state;
  const spoken = event.meaning?.reading;
  if (pending === undefined || spoken === undefined) return state;
  const isLate = event.at > pending.reading.end + ANSWER_MS;
  if (pending.wentOn === true || (isLate && pending.replaces !== undefined)) return ask(state, pending, say);
  const step = currentStep(state);
  const again = merged(pending.reading, spoken, state);
  const isBuild = step?.kind === 'build';
  const reading = inItsMoment(state.progress, step, again, event, isBuild ? false : undefined);
  const answersAll = CIRCUITS.every(
    (circuit) => pending.reading[circuit] === undefined || spoken[circuit] !== undefined,
  );
  const isSame = sameNeedles(pending.reading, again);
  if (isSame && !answersAll && pending.because !== 'would-fail') return ask(state, pending, say);
  if (isSame && reading === again) return confirm(state, say);
  const timed = reading === again ? { ...again, end: event.end } : reading;
  return weighAnew(dropQuestion(withDenied(state)), pending, timed, { event, isDoubted: !answersAll }, say);
}

export function sameNeedles(one: SpokenReading, other: SpokenReading): boolean {
  return (['primary', 'secondary'] as const).every(
    (circuit) => one[circuit]?.value === other[circuit]?.value && one[circuit]?.unit === other[circuit]?.unit,
  );
}
