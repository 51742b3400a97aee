import type { SpokenReading } from '../grammar/meaning.ts';
import type { Ms } from '../units/time.ts';
import type { CalloutEvent } from './event.ts';
import { isOfCab, type Condition } from '../judging/condition.ts';
import { LONGEST_HOLD } from '../judging/hold.ts';
import type { StepResult } from '../judging/result.ts';
import { isAdverse } from './cab.ts';
import { placeOfLast, withMark } from './callouts.ts';
import { momentLimit, unfitOpening, waitsForCab } from './conditions.ts';
import { withNeedles } from './air-lost.ts';
import { buildWindow } from './build-window.ts';
import { doubtAbout, isLowConfidence, wouldFail } from './doubt.ts';
import type { Say } from './flow.ts';
import { CLOSING_BAND_MS, runningHold } from './hold.ts';
import { currentStep, readingsComplete, takesReadings } from './needs.ts';
import { judgeStep } from './measure.ts';
import { withStrayNeedles } from './strays.ts';
import type { Step } from './plan.ts';
import { spoiledProgress } from './spoiled.ts';
import {
  changedProgress,
  changedState,
  type CalledReading,
  type CheckState,
  type Pending,
  type Spoiled,
} from './state.ts';
import { withReplaced } from './taken-back.ts';
import { withAsked, withReading, withWithin } from './taken.ts';

/** Words of a reading take no longer than this. */
const READING_MS: Ms = 5_000;
/** The two circuits of a reading may be called one after the other: the second within this of the first. */
export const PAIR_MS: Ms = 6_000;
/** How long one circuit is kept after the other has been asked for. */
const HALF_KEPT_MS: Ms = 20_000;
/** For how long after "no" or "correction" the next reading counts as the same one called again. */
export const RESTATE_MS: Ms = 30_000;

export interface HeardReading {
  readonly spoken: SpokenReading;
  readonly event: CalloutEvent;
}

/** A reading called in the current step: combined with the other circuit, placed, and taken or asked about. */
export function hearReading(state: CheckState, { spoken, event }: HeardReading, say: Say): CheckState {
  const step = currentStep(state);
  if (step === undefined) return state;
  const latest = isWhole(spoken) ? spoken : { ...state.progress.latest, ...spoken };
  const seen = changedState(state, { progress: changedProgress(state.progress, { latest }) });
  if (!takesReadings(step)) return withStrayNeedles(state, step, spoken, event);
  if (step.kind !== 'reading' && readingsComplete(step, state.progress))
    return calledOnceMore(seen, step, spoken, event, say);
  // Not those of the step, but they were read: what follows has to be possible from them.
  if (!mayBegin(seen, step)) {
    const told = withStrayNeedles(seen, step, spoken, event);
    return isWhole(spoken) ? withNeedles(told, step, asCalled(spoken, event, told)) : told;
  }
  const hold = runningHold(step, seen.progress, seen.start.rig);
  if (hold !== undefined && isOverdue(seen, event))
    return hearReading(changedState(seen, { restating: undefined }), { spoken, event }, say);
  if (hold !== undefined && event.at < hold.due - CLOSING_BAND_MS) {
    const within: CalledReading = { ...spoken, start: event.at, end: event.end, callouts: [placeOfLast(seen)] };
    return placeWithin(changedState(seen, { restating: undefined }), step, within, isLowConfidence(event, within), say);
  }
  const reading = combined(seen, step, spoken, event);
  const fresh = seen.restating === undefined ? seen : changedState(seen, { restating: undefined });
  if (step.kind !== 'build' && !isWhole(reading)) return hearHalf(fresh, reading, event, say);
  return place(fresh, step, reading, isLowConfidence(event, reading), say);
}

/** True when needles were taken back so long ago that these are not called in their place. */
function isOverdue({ restating }: CheckState, event: CalloutEvent): boolean {
  const isOfNeedles = restating !== undefined && restating.onset === undefined;
  return isOfNeedles && event.at > restating.since + RESTATE_MS;
}

function asCalled(spoken: SpokenReading, { at, end }: CalloutEvent, state: CheckState): CalledReading {
  return { ...spoken, start: at, end, callouts: [placeOfLast(state)] };
}

/** Needles after those that the step has: told of only where they would fail it. */
function calledOnceMore(
  state: CheckState,
  step: Step,
  spoken: SpokenReading,
  event: CalloutEvent,
  say: Say,
): CheckState {
  const [first] = state.progress.readings;
  if (first === undefined) return state;
  const reading = { ...first, ...spoken, end: event.end, callouts: [placeOfLast(state)] };
  if (!wouldFail(state, state.index, changedProgress(state.progress, { readings: [reading] })))
    return withStrayNeedles(state, step, spoken, event);
  return ask(state, { reading, because: 'would-fail' }, say);
}

/**
 * False for needles that cannot be those of the step yet: before the moment they belong to, or before a hold or window whose engine, brakes
 * and idle are not known to be as they must.
 */
function mayBegin({ progress, cab, start }: CheckState, step: Step): boolean {
  if (step.kind === 'event') return progress.outcome !== undefined;
  const isTimed = step.kind === 'hold' || step.kind === 'build';
  return !isTimed || !waitsForCab(step, start, cab);
}

/**
 * The reading as called, joined to the circuit called just before, and to the onset of the words it restates. The first needles of a hold,
 * and the last of a window, are of their own moment: should they have been read anew, what fell or was pumped since would be lost to the
 * measurement.
 */
function combined(state: CheckState, step: Step, spoken: SpokenReading, event: CalloutEvent): CalledReading {
  const index = placeOfLast(state);
  const { half } = state.progress;
  const kept = half?.asked === true ? HALF_KEPT_MS : PAIR_MS;
  // A needle that was called otherwise a moment ago is not forgotten.
  const differs = half !== undefined && event.at <= half.reading.end + kept && contradicts(half.reading, spoken);
  const doubtedly = (reading: CalledReading): CalledReading => (differs ? { ...reading, doubted: true } : reading);
  // Both needles called at once are a reading of their own moment.
  if (half !== undefined && !isWhole(spoken) && event.at <= half.reading.end + kept) {
    const callouts = [...half.reading.callouts, index];
    return doubtedly({ ...half.reading, ...spoken, end: event.end, callouts });
  }
  const { restating } = state;
  const { readings } = state.progress;
  const opens = step.kind === 'hold' && readings.length === 0;
  const ends =
    step.kind === 'build' &&
    buildWindow(step, [...readings, { ...spoken, start: event.at, end: event.end }]).upper !== undefined;
  const again = !opens && !ends && restating?.onset !== undefined && event.at <= restating.since + RESTATE_MS;
  const start = again ? (restating.onset ?? event.at) : event.at;
  const { primary, secondary } = spoken;
  if (primary === undefined || secondary === undefined)
    return doubtedly({ ...spoken, start, end: event.end, callouts: [index] });
  return doubtedly({ primary, secondary, start, end: event.end, callouts: [index] });
}

function contradicts(one: SpokenReading, other: SpokenReading): boolean {
  return (['primary', 'secondary'] as const).some((circuit) => {
    const [before, now] = [one[circuit], other[circuit]];
    return before !== undefined && now !== undefined && before.value !== now.value;
  });
}

export function isWhole(reading: SpokenReading): boolean {
  return reading.primary !== undefined && reading.secondary !== undefined;
}

export function hearHalf(state: CheckState, reading: CalledReading, event: CalloutEvent, say: Say): CheckState {
  const because = doubtAbout(state, state.index, state.progress, reading, isLowConfidence(event, reading));
  if (because !== undefined) return ask(state, { reading, because }, say);
  return keepHalf(state, reading);
}

/** Keeps one circuit until the other is called; nothing is said, so as not to talk over it. */
export function keepHalf(state: CheckState, reading: CalledReading): CheckState {
  return markTaken(
    changedState(state, { progress: changedProgress(state.progress, { half: { reading, asked: false } }) }),
    reading,
  );
}

function withoutHalf(state: CheckState): CheckState {
  return state.progress.half === undefined
    ? state
    : changedState(state, { progress: changedProgress(state.progress, { half: undefined }) });
}

/** A whole reading (in a build: any) of the current step: too early, too late, in doubt, or taken. */
export function place(
  state: CheckState,
  step: Step,
  reading: CalledReading,
  lowConfidence: boolean,
  say: Say,
): CheckState {
  let ready = withoutHalf(state);
  const hold = runningHold(step, ready.progress, state.start.rig);
  if (hold !== undefined && reading.start < hold.due - CLOSING_BAND_MS)
    return placeWithin(ready, step, reading, lowConfidence, say);
  if (hold !== undefined && reading.start > hold.start + LONGEST_HOLD * 1000) {
    say({ type: 'repeat', step, because: 'reading-late' });
    ready = changedState(ready, { progress: spoiledProgress(ready.progress, 'reading-late') });
  }
  if (step.kind === 'hold' && ready.progress.readings.length === 0) {
    const condition = unfitOpening(step, state.start, reading, state.cab);
    if (condition !== undefined) {
      say({ type: 'unfit-start', step, condition });
      const progress = spoiledProgress(ready.progress, 'unfit-start', spoiledBy(condition, state));
      return changedState(withNeedles(ready, step, reading), { progress });
    }
  }
  if (step.kind === 'event' && isLateForMoment(step, ready, reading)) {
    say({ type: 'repeat', step, because: 'needles-late' });
    return changedState(ready, { progress: spoiledProgress(ready.progress, 'needles-late') });
  }
  const because =
    reading.doubted === true
      ? 'implausible'
      : doubtAbout(ready, ready.index, withReading(step, ready, reading), reading, lowConfidence);
  return because === undefined ? take(ready, step, reading, say) : ask(ready, { reading, because }, say);
}

/** What spoiled a hold at its first needles: for a condition of the cab, the callout that says otherwise. */
function spoiledBy(condition: Condition, { cab }: CheckState): Spoiled {
  const fact = isOfCab(condition) ? cab[condition.part] : undefined;
  return fact === undefined ? { condition } : { condition, by: { heard: fact.heard, at: fact.at } };
}

function isLateForMoment(step: Step, { progress, start }: CheckState, reading: CalledReading): boolean {
  const limit = momentLimit(step, start);
  const { outcome } = progress;
  if (limit === undefined || outcome === undefined || isAdverse(outcome.cue)) return false;
  // Both needles, even if they are called one after the other.
  return reading.start > outcome.at + limit || reading.end > outcome.at + limit + READING_MS;
}

/** Needles called while the hold runs: kept for its curve and its drop, and asked about when they fail it already. */
export function placeWithin(
  state: CheckState,
  step: Step,
  reading: CalledReading,
  lowConfidence: boolean,
  say: Say,
): CheckState {
  const ready = withoutHalf(state);
  const { within = [] } = ready.progress;
  const progress = withWithin(ready, ready.index, ready.progress, [...within, reading]);
  const because = doubtAbout(ready, ready.index, progress, reading, lowConfidence);
  return because === undefined
    ? takeWithin(ready, step, reading, say)
    : ask(ready, { reading, because, within: true }, say);
}

export function takeWithin(state: CheckState, step: Step, reading: CalledReading, say: Say): CheckState {
  const { within = [] } = state.progress;
  const progress = withWithin(state, state.index, state.progress, [...within, reading]);
  const hold = runningHold(step, progress, state.start.rig);
  say({ type: 'read-back', reading: spokenOf(reading), corrected: false });
  if (hold !== undefined)
    say({ type: 'hold-not-over', seconds: Math.max(0, Math.ceil((hold.due - state.now) / 1000)) });
  return markTaken(changedState(state, { pending: undefined, progress }), reading);
}

/** Takes a reading that is beyond doubt, or confirmed, or unconfirmed where nobody can answer. */
export function take(state: CheckState, step: Step, reading: CalledReading, say: Say): CheckState {
  say({ type: 'read-back', reading: spokenOf(reading), corrected: false });
  const kept = withReplaced(state, step);
  return markTaken(
    changedState(withNeedles(kept, step, reading), {
      pending: undefined,
      progress: withReading(step, kept, reading),
    }),
    reading,
  );
}

export function ask(state: CheckState, question: Pending, say: Say): CheckState {
  const fails = failOf(state, question);
  const pending = fails === undefined ? question : { ...question, fails };
  const { reading, because } = pending;
  say({ type: 'question', reading: spokenOf(reading), because, ...(fails === undefined ? {} : { fails }) });
  return changedState(state, { pending });
}

/** What the step under way comes to with the needles that would fail it: said and shown beside the question. */
function failOf(state: CheckState, pending: Pending): StepResult | undefined {
  const step = currentStep(state);
  const { index, start, records, progress } = state;
  if (step === undefined || pending.because !== 'would-fail' || (pending.replaces ?? index) !== index) return undefined;
  const result = judgeStep(index, withAsked(state, step, progress, pending), start, records);
  return result.verdict === 'fail' ? result : undefined;
}

export function spokenOf({ primary, secondary }: SpokenReading): SpokenReading {
  if (primary === undefined) return secondary === undefined ? {} : { secondary };
  return secondary === undefined ? { primary } : { primary, secondary };
}

/** Marks the callout under way. */
export function markLast(state: CheckState): CheckState {
  return markTaken(state, { callouts: [placeOfLast(state)] });
}

const TAKEN = { taken: true } as const;

/** Marks the callouts that a reading was heard in. */
export function markTaken(
  state: CheckState,
  { callouts, unconfirmed }: Pick<CalledReading, 'callouts' | 'unconfirmed'>,
): CheckState {
  const more = unconfirmed === true ? { taken: true, unconfirmed } : TAKEN;
  const marked = callouts.reduce((all, index) => withMark(all, index, more), state.callouts);
  return marked === state.callouts ? state : changedState(state, { callouts: marked });
}
