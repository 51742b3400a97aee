import { isOfCab } from '../judging/condition.ts';
import { isAdverse, says, type Cab } from './cab.ts';
import { conditionsOf } from './conditions.ts';
import type { StartEvent } from './event.ts';
import { needsOf } from './needs.ts';
import type { Step } from './plan.ts';
import type { CheckState } from './state.ts';

/**
 * The cues of a step in which something is seen or felt that say what it rests on: a tug before “in drive” or “chocks stowed” is none, and is done
 * again after it. Empty for any other step.
 */
export function restsOn(step: Step, start: StartEvent): readonly string[] {
  return step.kind === 'observe' ? step.cues.filter((cue) => saidBy(cue, step, start).length > 0) : [];
}

/** What went well in the step under way, and what it rests on is still to be called. */
export function isEarly({ progress, start }: CheckState, step: Step): boolean {
  const { outcome } = progress;
  if (outcome === undefined || isAdverse(outcome.cue)) return false;
  const resting = restsOn(step, start);
  return needsOf(step, progress, start.rig).cues.some((cue) => resting.includes(cue));
}

/** What went well in the step under way was called before something that it rests on, or that was taken back and called anew since. */
export function isTooSoon({ cab, progress, start }: CheckState, step: Step): boolean {
  const { outcome, cues } = progress;
  if (outcome === undefined || isAdverse(outcome.cue)) return false;
  return restsOn(step, start)
    .filter((cue) => cues.includes(cue))
    .some((cue) => saidBy(cue, step, start).some((part) => lastSaid(cab, part) > outcome.at));
}

/** The parts of the cab that the cue says to be as a condition of the step wants them. */
function saidBy(cue: string, step: Step, start: StartEvent): readonly (keyof Cab)[] {
  return conditionsOf(step, start).flatMap((condition) =>
    isOfCab(condition) && says(cue, condition.part, condition.is) ? [condition.part] : [],
  );
}

function lastSaid(cab: Cab, part: keyof Cab): number {
  const fact = cab[part];
  return fact === undefined ? -Infinity : (fact.again ?? fact.at);
}
