import { without } from '../units/without.ts';
import { runningHold } from './hold.ts';
import { judgeStep } from './measure.ts';
import type { Step } from './plan.ts';
import {
  changedProgress,
  changedState,
  type CalledReading,
  type CheckState,
  type Pending,
  type Progress,
} from './state.ts';

/** The progress of a hold with other readings within it, and whether they fail it already. */
export function withWithin(
  { start, records }: CheckState,
  index: number,
  progress: Progress,
  within: readonly CalledReading[],
): Progress {
  const rest = { ...without(progress, 'over'), within };
  return judgeStep(index, rest, start, records).verdict === 'fail' ? { ...rest, over: true } : rest;
}

/** The progress of the step with the reading in its place among its readings. */
export function withReading(step: Step, { progress, start }: CheckState, reading: CalledReading): Progress {
  const appends = step.kind === 'build' || runningHold(step, progress, start.rig) !== undefined;
  return appends
    ? changedProgress(progress, { readings: [...progress.readings, reading] })
    : changedProgress(progress, { readings: [reading], announced: 0 });
}

/** The progress of the step under way, were the reading that is asked about taken. */
export function withAsked(
  state: CheckState,
  step: Step,
  progress: Progress,
  { reading, replaces, within }: Pending,
): Progress {
  if (within === true) return withWithin(state, state.index, progress, [...(progress.within ?? []), reading]);
  if (replaces !== undefined)
    return changedProgress(progress, { readings: [...progress.readings.slice(0, -1), reading] });
  return withReading(step, changedState(state, { progress }), reading);
}
