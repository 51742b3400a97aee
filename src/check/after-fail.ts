import type { TestId } from '../judging/measurement.ts';
import { isFitted } from './needs.ts';
import type { Step } from './plan.ts';
import type { CheckState, StepRecord } from './state.ts';

/** Tests in which the rig is driven, or pulls against a brake. */
const MOVING: ReadonlySet<TestId> = new Set<TestId>(['tug-test', 'hand-valve-test', 'service-brake-test']);

function movesRig(step: Step): boolean {
  return MOVING.has(step.test) || step.cues.includes('in-drive');
}

/**
 * Why the step at `index` is left out: it moves the rig, and a step before it has failed. Undefined where it is done, in checks from before
 * this rule as well, and where something was called of it already. A rig that failed is not driven: common practice, no source.
 */
export function leftOutAfterFail({ start, records, early }: CheckState, index: number): string | undefined {
  const step = start.plan.steps[index];
  if (start.settings?.stillAfterFail !== true || step === undefined || !movesRig(step)) return undefined;
  if (early?.some(({ cue }) => step.outcomes?.includes(cue) === true) === true) return undefined;
  const failed = records.find((record) => record.index < index && record.result.verdict === 'fail');
  if (failed === undefined) return undefined;
  return `left out: ${start.plan.steps[failed.index]?.title ?? failed.id} failed, and the rig is not moved after a fail`;
}

/** True when there is something left to do in the check after what has just failed, besides what moves the rig. */
export function goesOnAfterFail(state: CheckState): boolean {
  const { start, index } = state;
  if (start.settings?.stillAfterFail !== true) return false;
  return start.plan.steps.slice(index + 1).some((step) => isFitted(step, start.rig) && !movesRig(step));
}

/** The step that has just failed, while nothing was called in the next one: measure again, stop, or go on without moving the rig. */
export function forkOf({ start, records, progress, phase }: CheckState): StepRecord | undefined {
  if (start.settings?.stillAfterFail !== true || phase !== 'listening') return undefined;
  const { cues, outcome, readings, half, repeatBecause } = progress;
  const touched = cues.length > 0 || outcome !== undefined || readings.length > 0 || half !== undefined;
  if (touched || repeatBecause !== undefined) return undefined;
  const last = records.findLast((record) => record.outcome !== 'passed-over');
  // What is bad of an item is repaired, not measured again.
  if (start.plan.steps[last?.index ?? -1]?.kind === 'items') return undefined;
  return last?.result.verdict === 'fail' ? last : undefined;
}
