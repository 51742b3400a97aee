import { isOfCab } from '../judging/condition.ts';
import { isAdverse, says } from './cab.ts';
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
  if (step.kind !== 'observe') return [];
  const conditions = conditionsOf(step, start);
  return step.cues.filter((cue) => conditions.some((each) => isOfCab(each) && says(cue, each.part, each.is)));
}

/** What went well in the step under way, and what it rests on is still to be called. */
export function isEarly({ progress, start }: CheckState, step: Step): boolean {
  const { outcome } = progress;
  if (outcome === undefined || isAdverse(outcome.cue)) return false;
  const resting = restsOn(step, start);
  return needsOf(step, progress, start.rig).cues.some((cue) => resting.includes(cue));
}

/** What went well in the step under way was called before something that it rests on, or that was taken back and called anew since. */
export function isTooSoon({ progress: { outcome, restsSince } }: CheckState): boolean {
  return outcome !== undefined && !isAdverse(outcome.cue) && restsSince !== undefined && outcome.at < restsSince;
}
