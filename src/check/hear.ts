import { needlesFirst, outcomeFirst } from './breath.ts';
import { isAboutCab, isAdverse } from './cab.ts';
import { calledAgain } from './called-again.ts';
import { cueWords } from './cue-words.ts';
import { momentLimit } from './conditions.ts';
import { withDenials } from './denied.ts';
import { cuesIn, type CalloutEvent } from './event.ts';
import { gained, stillNeeded, type Say } from './flow.ts';
import { hearItems } from './hear-items.ts';
import { isWalk } from './signal.ts';
import { goesOn, heedCab, isOfNext, leaveStep } from './heed.ts';
import { currentStep, cuesOf, readingsComplete } from './needs.ts';
import { calledAdverse, correctOutcome, isOutcomeRestated, keepEarly, withOutcome } from './outcome.ts';
import type { Step } from './plan.ts';
import { ask, hearReading, markLast } from './readings.ts';
import { withStrayMoment } from './strays.ts';
import { answerByReading, correct, isRestated, restatesOther, tellRecanted } from './restate.ts';
import { changedProgress, changedState, withTold, type CheckState, type Pending } from './state.ts';
import { isEarly, isTooSoon, restsOn } from './too-soon.ts';
import { askWhose, strangeCue } from './whose.ts';

/** Cues and needles of one callout, in the step under way; whose words they were is asked first where the operator had no cause for them. */
export function hear(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const cue = strangeCue(state, event);
  return cue === undefined ? hearOwn(state, event, say) : askWhose(state, cue, event, say, hearOwn);
}

function hearOwn(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const step = currentStep(state);
  const { meaning } = event;
  if (step === undefined || meaning === undefined) return state;
  if (isWalk(meaning)) return hearItems(state, event, say);
  if (isOutcomeRestated(state, event)) return correctOutcome(state, event, say);
  const parts = needlesFirst(state, step, event) ?? outcomeFirst(state, step, event);
  if (parts !== undefined) {
    const [first, second] = parts;
    return hearOwn(hearOwn(state, first, say), second, say);
  }
  if (goesOn(state, step, event)) return hearOwn(leaveStep(state, step, event, say), event, say);
  const adverse = calledAdverse(state, step, event, say);
  if (adverse !== undefined) return adverse;
  const again = calledAgain(state, event, say);
  if (again !== undefined) return again;
  const kept = withDenials(withStrayMoment(keepEarly(state, step, event, say), step, event), event, say);
  const heeded = heedCab(withCabBefore(kept, step, event), step, event, say);
  if (heeded.progress.spoiled !== state.progress.spoiled) return markLast(heeded);
  // What is known of the cab now may be taken back, whether or not the step waits for it.
  const isTaken = meaning.cues.some(isAboutCab);
  // A place waits for items alone; what else was called has been heeded.
  if (step.kind === 'items') return isTaken ? markLast(heeded) : heeded;
  return hearInStep(isTaken ? markLast(heeded) : heeded, step, event, say);
}

/** A plain reading is judged on the cab as it was before the words of the callout it was called in. */
function withCabBefore(state: CheckState, step: Step, { meaning }: CalloutEvent): CheckState {
  if (step.kind !== 'reading' || meaning?.reading === undefined) return state;
  return changedState(state, { progress: changedProgress(state.progress, { cab: state.cab }) });
}

/** What went wrong is not taken back by the opposite alone. */
function isHeldBy(held: string | undefined, said: string): boolean {
  return isAdverse(held) && !isAdverse(said);
}

function hearInStep(state: CheckState, step: Step, event: CalloutEvent, say: Say): CheckState {
  const { meaning } = event;
  if (meaning === undefined) return state;
  const held = state.progress.outcome?.cue;
  const opposite = meaning.cues.find((cue) => step.outcomes?.includes(cue) === true && isHeldBy(held, cue));
  if (held !== undefined && opposite !== undefined) say({ type: 'sticks', held, said: opposite });
  const before = hearCues(state, step, event);
  // What belongs to this step tells that the operator is in it: the needles with it and after it are not those that were taken back before.
  const isHere = before.cue !== undefined && isRestated(state, event) && restatesOther(state);
  if (meaning.reading !== undefined && isRestated(state, event) && !isHere) return correct(before.state, event, say);
  let next = before.state;
  if (isHere) {
    tellRecanted(next, say);
    next = changedState(next, { restating: undefined });
  }
  if (meaning.reading !== undefined) next = hearReading(next, { spoken: meaning.reading, event }, say);
  const after = hearCues(next, step, event);
  const cue = before.cue ?? after.cue;
  if (meaning.reading === undefined && !meaning.cues.some((id) => cuesOf(step).includes(id))) {
    stillNeeded(state, say);
    return state;
  }
  return gained(state, after.state, { cue, reading: meaning.reading !== undefined }, say);
}

/** What must not be overheard in words that are not for the step, a note: that something went wrong, or is not as it must. */
export function hearWarnings(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const step = currentStep(state);
  if (step === undefined) return state;
  if (event.meaning !== undefined && isWalk(event.meaning)) return hearItems(state, event, say, 'bad alone');
  const told = calledAdverse(state, step, event, say) ?? keepEarly(state, step, event, say);
  const heeded = heedCab(withDenials(told, event, say), step, event, say);
  const cue = event.meaning?.cues.find((each) => isAdverse(each) && step.outcomes?.includes(each) === true);
  if (cue === undefined) return heeded;
  return gained(heeded, hearCue(heeded, step, cue, event), { cue, reading: false }, say);
}

/** In a live check, words that come while a reading is asked about: cues are kept, needles answer the question. */
export function hearWhileAsking(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const step = currentStep(state);
  if (step === undefined || state.pending === undefined) return state;
  if (event.meaning !== undefined && isWalk(event.meaning)) return hearItems(state, event, say, 'bad alone');
  const parts = needlesFirst(state, step, event) ?? outcomeFirst(state, step, event);
  if (parts !== undefined) {
    const [first, second] = parts;
    const next = hearWhileAsking(state, first, say);
    return next.pending === undefined ? hear(next, second, say) : hearWhileAsking(next, second, say);
  }
  const told = calledAdverse(state, step, event, say) ?? keepEarly(state, step, event, say);
  const heeded = heedCab(withDenials(told, event, say), step, event, say);
  if (heeded.pending === undefined) return markLast(heeded);
  const heard = hearCues(heeded, step, event).state;
  const pending: Pending = isOfNext(state, step, event) ? { ...heeded.pending, wentOn: true } : heeded.pending;
  if (event.meaning?.reading !== undefined)
    return answerByReading(changedState(heard, { pending: pending.wentOn ? pending : heard.pending }), event, say);
  const next = gained(state, heard, { reading: false }, say);
  return ask(next, pending, say);
}

/** The cues of the callout that have a place in the step as it stands; `cue` is the last that was new. */
function hearCues(state: CheckState, step: Step, event: CalloutEvent): { state: CheckState; cue?: string | undefined } {
  let next = state;
  let last: string | undefined;
  for (const cue of cuesIn(event)) {
    const heard = hearCue(next, step, cue, event);
    if (heard === next) continue;
    next = heard;
    last = cue;
  }
  return last === undefined ? { state } : { state: markLast(next), cue: last };
}

function hearCue(state: CheckState, step: Step, cue: string, event: CalloutEvent): CheckState {
  const { progress } = state;
  const { at } = event;
  if (step.outcomes?.includes(cue) === true) {
    const { outcome } = progress;
    if (isHeldBy(outcome?.cue, cue)) return state;
    const isGone = isForgotten(state, step, at);
    const isAnew = isGone || (at > (outcome?.at ?? at) && (isEarly(state, step) || isTooSoon(state)));
    if (outcome?.cue === cue && !isAnew) return state;
    // The moment of an event is the first time it is called, but what went wrong is never overheard.
    if (outcome !== undefined && outcome.cue !== cue && !isAdverse(cue)) return state;
    return withClock(withOutcome(isGone ? withEarlier(state, cue, at) : state, cue, event), step, cue, at);
  }
  if (progress.cues.includes(cue)) return state;
  if (step.cues.includes(cue)) {
    return withClock(
      changedState(state, {
        progress: changedProgress(progress, {
          cues: [...progress.cues, cue],
          cueAt: at,
          restsSince: restsOn(step, state.start).includes(cue)
            ? Math.max(at, progress.restsSince ?? at)
            : progress.restsSince,
        }),
      }),
      step,
      cue,
      at,
    );
  }
  if (step.cuesAfter?.includes(cue) === true && mayFollow(state, step)) {
    return withClock(
      changedState(state, { progress: changedProgress(progress, { cues: [...progress.cues, cue] }) }),
      step,
      cue,
      at,
    );
  }
  return state;
}

/** A moment that was called before is not forgotten: perhaps it came then. */
function withEarlier(state: CheckState, cue: string, at: number): CheckState {
  const { outcome } = state.progress;
  if (outcome?.cue !== cue) return state;
  const seconds = Math.round((at - outcome.at) / 1000);
  return withTold(state, `“${cueWords(cue)}” was called ${String(seconds)} s before, without needles in time`);
}

/** A moment whose needles were not called in time may be called anew. */
function isForgotten({ progress, start }: CheckState, step: Step, at: number): boolean {
  const limit = momentLimit(step, start);
  const { outcome, readings } = progress;
  return limit !== undefined && outcome !== undefined && readings.length === 0 && at > outcome.at + limit;
}

/** Cues that come after the readings count once the reading has been called, even while it is asked about. */
function mayFollow({ progress, pending }: CheckState, step: Step): boolean {
  if (step.outcomes !== undefined && progress.outcome === undefined) return false;
  return readingsComplete(step, progress) || pending !== undefined;
}

function withClock(state: CheckState, step: Step, cue: string, at: number): CheckState {
  const { clock } = state;
  if (cue === step.startsClock) return changedState(state, { clock: { start: at } });
  if (cue === step.stopsClock && clock.start !== undefined)
    return changedState(state, { clock: { ...clock, end: at } });
  return state;
}
