import type { SpokenReading } from '../grammar/meaning.ts';
import type { Ms } from '../units/time.ts';
import type { CalloutEvent } from './event.ts';
import { doubtAbout, isLowConfidence } from './doubt.ts';
import type { Say } from './flow.ts';
import { isLateSaid, LATE_MS, runningHold } from './hold.ts';
import { currentStep, readingsComplete, takesReadings } from './needs.ts';
import type { Step } from './plan.ts';
import type { CalledReading, CheckState, Pending, Progress } from './state.ts';

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
  const seen = { ...state, progress: { ...state.progress, latest: { ...state.progress.latest, ...spoken } } };
  if (!takesReadings(step)) return state;
  if (step.kind !== 'reading' && step.kind !== 'event' && readingsComplete(step, state.progress)) return seen;
  const reading = combined(seen, spoken, event);
  const fresh = { ...seen, restating: undefined };
  if (step.kind !== 'build' && !isWhole(reading)) return hearHalf(fresh, step, reading, event, say);
  return place(fresh, step, reading, isLowConfidence(event), say);
}

/** The reading as called, joined to the circuit called just before, and to the onset of the words it restates. */
function combined(state: CheckState, spoken: SpokenReading, event: CalloutEvent): CalledReading {
  const index = state.callouts.length - 1;
  const { half } = state.progress;
  const kept = half?.asked === true ? HALF_KEPT_MS : PAIR_MS;
  // Both needles called at once are a reading of their own moment.
  if (half !== undefined && !isWhole(spoken) && event.at <= half.reading.end + kept) {
    return { ...half.reading, ...spoken, end: event.end, callouts: [...half.reading.callouts, index] };
  }
  const { restating } = state;
  const again = restating?.onset !== undefined && event.at <= restating.since + RESTATE_MS;
  return { ...spoken, start: again ? (restating.onset ?? event.at) : event.at, end: event.end, callouts: [index] };
}

export function isWhole(reading: SpokenReading): boolean {
  return reading.primary !== undefined && reading.secondary !== undefined;
}

function hearHalf(state: CheckState, step: Step, reading: CalledReading, event: CalloutEvent, say: Say): CheckState {
  const hypothetical = { ...state.progress, readings: [] };
  const because = doubtAbout(
    state,
    state.index,
    step.kind === 'hold' ? hypothetical : state.progress,
    reading,
    isLowConfidence(event),
  );
  if (because !== undefined) return ask(state, { reading, because }, say);
  return keepHalf(state, reading);
}

/** Keeps one circuit until the other is called; nothing is said, so as not to talk over it. */
export function keepHalf(state: CheckState, reading: CalledReading): CheckState {
  return markTaken({ ...state, progress: { ...state.progress, half: { reading, asked: false } } }, reading);
}

/** A whole reading (in a build: any) of the current step: too early, too late, in doubt, or taken. */
export function place(
  state: CheckState,
  step: Step,
  reading: CalledReading,
  lowConfidence: boolean,
  say: Say,
): CheckState {
  let ready: CheckState = { ...state, progress: { ...state.progress, half: undefined } };
  const hold = runningHold(step, ready.progress, state.start.rig);
  if (hold !== undefined && reading.start < hold.due) {
    // Words that begin just before the end are over after it: then what was left at their onset is told.
    const told = state.now < hold.due ? state.now : reading.start;
    say({ type: 'hold-not-over', seconds: Math.ceil((hold.due - told) / 1000) });
    return ready;
  }
  if (hold !== undefined && reading.start > hold.due + LATE_MS) {
    if (!isLateSaid(ready, hold)) say({ type: 'repeat', step, because: 'reading-late' });
    ready = { ...ready, progress: { ...ready.progress, readings: [], announced: 0, repeatBecause: 'reading-late' } };
  }
  const because = doubtAbout(ready, ready.index, withReading(step, ready, reading), reading, lowConfidence);
  return because === undefined ? take(ready, step, reading, say) : ask(ready, { reading, because }, say);
}

/** The progress of the step with the reading in its place among its readings. */
function withReading(step: Step, { progress, start }: CheckState, reading: CalledReading): Progress {
  const appends = step.kind === 'build' || runningHold(step, progress, start.rig) !== undefined;
  return appends
    ? { ...progress, readings: [...progress.readings, reading] }
    : { ...progress, readings: [reading], announced: 0 };
}

/** Takes a reading that is beyond doubt, or confirmed, or unconfirmed where nobody can answer. */
export function take(state: CheckState, step: Step, reading: CalledReading, say: Say): CheckState {
  say({ type: 'read-back', reading: spokenOf(reading), corrected: false });
  return markTaken({ ...state, pending: undefined, progress: withReading(step, state, reading) }, reading);
}

export function ask(state: CheckState, pending: Pending, say: Say): CheckState {
  say({ type: 'question', reading: spokenOf(pending.reading), because: pending.because });
  return { ...state, pending };
}

export function spokenOf({ primary, secondary }: SpokenReading): SpokenReading {
  return { ...(primary === undefined ? {} : { primary }), ...(secondary === undefined ? {} : { secondary }) };
}

/** Marks the callouts that a reading was heard in. */
export function markTaken(
  state: CheckState,
  { callouts, unconfirmed }: Pick<CalledReading, 'callouts' | 'unconfirmed'>,
): CheckState {
  const marked = [...state.callouts];
  for (const index of callouts) {
    const record = marked[index];
    if (record !== undefined)
      marked[index] = { ...record, taken: true, ...(unconfirmed === true ? { unconfirmed } : {}) };
  }
  return { ...state, callouts: marked };
}
