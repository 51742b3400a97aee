import type { LimitProfile } from '../judging/profile.ts';
import { judgeCheck } from '../judging/judge.ts';
import type { CheckVerdict } from '../judging/result.ts';
import { judged } from './judged.ts';
import { judgeStep } from './measure.ts';
import type { CheckState, StepRecord } from './state.ts';

/**
 * What a check that is over would have been under other limits. The measurements stay what they were: nothing is asked,
 * corrected or timed anew. Steps that were not judged stay so.
 */
export function judgeAgain(
  state: CheckState,
  profile: LimitProfile,
): { readonly records: readonly StepRecord[]; readonly verdict: CheckVerdict } {
  const start = { ...state.start, profile };
  const undone = (state.undone ?? [])
    .map((record) => ({ ...record, result: judgeStep(record.index, record.progress, start, state.records) }))
    .filter(({ result }) => result.verdict === 'fail');
  const records = state.records.map((record) =>
    // A place of the walk has no figures: other limits change nothing of it.
    record.outcome === 'judged' && start.plan.steps[record.index]?.kind !== 'items'
      ? { ...record, result: judged({ ...state, start, undone }, record.index, record.progress) }
      : record,
  );
  const verdict = judgeCheck(records.map(({ outcome, result }) => ({ required: outcome !== 'passed-over', result })));
  return { records, verdict };
}
