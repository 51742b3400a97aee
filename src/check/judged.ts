import type { StepResult } from '../judging/result.ts';
import { changed } from '../units/changed.ts';
import { withoutStop } from '../units/without-stop.ts';
import { judgeStep, withoutVerdict } from './measure.ts';
import type { CheckState, Progress } from './state.ts';

type Check = Pick<CheckState, 'start' | 'records' | 'undone'>;

/** The result of the step at `index` of the check on `progress`, whenever it is judged, with what it was before it was gone back to. */
export function judged(check: Check, index: number, progress: Progress): StepResult {
  return withUndone(judgeStep(index, progress, check.start, check.records), index, check);
}

/**
 * A step that failed before it was gone back to says so, however it went then, and does not pass by that alone: nobody says what was wrong
 * the first time. It is marginal at best, and without a verdict where nobody could be asked.
 */
export function withUndone(
  result: StepResult,
  index: number,
  { undone = [], start }: Pick<Check, 'undone' | 'start'>,
): StepResult {
  const failed = undone.filter((record) => record.index === index);
  const reasons = failed.map((record) => withoutStop(record.result.reason));
  const last = reasons.at(-1);
  if (last === undefined) return result;
  const told = reasons.map((reason) => `Failed before it was done again: ${reason}`);
  const flags = [...(result.flags ?? []), ...told];
  if (result.verdict === 'pass' || result.verdict === 'marginal') {
    const reason = `${withoutStop(result.reason)}; it failed before it was done again (${last}).`;
    if (start.asking === 'assume') return { ...withoutVerdict(result, reason), flags };
    return { ...result, verdict: 'marginal', reason, flags };
  }
  return changed(result, { flags });
}
