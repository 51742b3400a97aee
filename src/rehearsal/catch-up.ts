import { cuesOf, currentStep, isFitted, needsOf, takesReadings } from '../check/needs.ts';
import type { CalloutEvent } from '../check/event.ts';
import { advance } from '../check/machine.ts';
import type { Step } from '../check/plan.ts';
import type { CheckState } from '../check/state.ts';
import type { Meaning } from '../grammar/meaning.ts';

/** What stands for the words of a callout that was never made, in the record of a silent examiner. */
export const NOT_CALLED = '(not called)';

/** How many steps a trainee can be ahead: with more, the words were most likely meant for this step. */
export const STEPS_AHEAD = 2;

/**
 * The callouts that a silent examiner puts in for the trainee, so that the check stands where the trainee is: when a callout has no place
 * in the step under way but in one of the next two, cues that are missing are put in, and a step that lacks its needles or its
 * moment is left out. They carry `NOT_CALLED` as their words. Empty when the callout has its place, or none at all.
 */
export function catchUp(check: CheckState, callout: CalloutEvent): readonly CalloutEvent[] {
  const { meaning } = callout;
  if (meaning === undefined || meaning.command !== undefined || isTaken(check, callout)) return [];
  const put: CalloutEvent[] = [];
  let state = check;
  for (let left = STEPS_AHEAD; left > 0 && state.phase !== 'done'; left -= 1) {
    if (!hasPlaceAhead(state, meaning, left)) return [];
    const step = currentStep(state);
    if (step === undefined) return [];
    const missing = putIn(state, step, callout);
    put.push(missing);
    state = advance(state, missing).state;
    if (isTaken(state, callout)) return put;
  }
  return [];
}

function isTaken(state: CheckState, callout: CalloutEvent): boolean {
  const next = advance(state, callout).state;
  // A doubtful reading waits for its question; it has its place.
  return next.callouts.at(-1)?.taken === true || (next.pending !== undefined && next.pending !== state.pending);
}

function hasPlaceAhead(state: CheckState, { cues, reading }: Meaning, within: number): boolean {
  const here = currentStep(state);
  if (here === undefined || cues.some((cue) => cuesOf(here).includes(cue))) return false;
  const ahead = state.start.plan.steps
    .slice(state.index + 1)
    .filter((step) => isFitted(step, state.start.rig))
    .slice(0, within);
  if (cues.length > 0) return ahead.some((step) => cues.some((cue) => cuesOf(step).includes(cue)));
  // Needles alone mean that a step without needles is thought to be over.
  return reading !== undefined && !takesReadings(here) && ahead.some(takesReadings);
}

function putIn(state: CheckState, step: Step, { at }: CalloutEvent): CalloutEvent {
  const { cues, outcomes, reading, cuesAfter } = needsOf(step, state.progress, state.start.rig);
  const meaning: Meaning =
    reading || outcomes.length > 0
      ? { cues: [], command: 'skip', reason: 'not-called' }
      : { cues: [...cues, ...cuesAfter] };
  return { type: 'callout', at, end: at, heard: NOT_CALLED, confidence: 1, source: 'transcript', meaning };
}
