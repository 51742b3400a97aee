import { judgeStep } from './measure.ts';
import { currentStep } from './needs.ts';
import type { Step } from './plan.ts';
import {
  changedProgress,
  changedState,
  type CalledReading,
  type CheckState,
  type Pending,
  type Progress,
  type StepRecord,
} from './state.ts';
import { withAsked, withReading } from './taken.ts';

/** The progress that remembers why a step would have failed on needles that were taken back; unchanged where it would not. */
export function withFail(state: CheckState, index: number, kept: Progress, on: Progress): Progress {
  const cab = on.cab ?? (index === state.index ? state.cab : undefined);
  const { verdict, reason } = judgeStep(index, changedProgress(on, { cab }), state.start, state.records);
  const { failedBefore = [] } = kept;
  return verdict !== 'fail' || failedBefore.includes(reason)
    ? kept
    : changedProgress(kept, { failedBefore: [...failedBefore, reason] });
}

/** The progress of a step that had failed and whose needles are corrected: they are told of beside what takes their place. */
export function withFailOf(before: StepRecord | undefined, progress: Progress): Progress {
  const { failedBefore = [] } = progress;
  return before?.result.verdict !== 'fail' || failedBefore.includes(before.result.reason)
    ? progress
    : changedProgress(progress, { failedBefore: [...failedBefore, before.result.reason] });
}

/** The state that remembers needles which were asked about and are taken back, where they would have failed their step. */
export function withDenied(state: CheckState): CheckState {
  const { pending, index, progress, records, start } = state;
  if (pending === undefined) return state;
  const at = pending.replaces ?? index;
  const step = start.plan.steps[at];
  const record = at === index ? undefined : records.find((each) => each.index === at);
  if (step === undefined) return state;
  const before = record?.progress ?? progress;
  const whole: Pending = { ...pending, reading: asWhole(step, before, pending.reading) };
  const after = withFail(state, at, before, withAsked(state, step, before, whole));
  if (after === before) return state;
  if (record === undefined) return changedState(state, { progress: after });
  const changed = { ...record, progress: after };
  return changedState(state, { records: records.map((each) => (each === record ? changed : each)) });
}

/** The same for a plain reading that is called again without a word: the first is not forgotten where it would have failed. */
export function withReplaced(state: CheckState, step: Step): CheckState {
  const { progress, index } = state;
  if (step.kind !== 'reading' || progress.readings.length === 0) return state;
  return changedState(state, { progress: withFail(state, index, progress, progress) });
}

/** The same for one circuit that was corrected before the other was called. */
export function withHalfDenied(state: CheckState): CheckState {
  const { progress, index } = state;
  const step = currentStep(state);
  if (step === undefined || progress.half === undefined) return state;
  const reading = asWhole(step, progress, progress.half.reading);
  return changedState(state, { progress: withFail(state, index, progress, withReading(step, state, reading)) });
}

/** One circuit alone, judged as if the other were no worse: at where the hold began, else where this one is. */
function asWhole({ kind }: Step, { readings, within }: Progress, reading: CalledReading): CalledReading {
  const { primary, secondary } = reading;
  if (primary !== undefined && secondary !== undefined) return reading;
  const opening = kind === 'hold' ? (within?.at(-1) ?? readings[0]) : undefined;
  const first = primary ?? opening?.primary ?? secondary;
  const second = secondary ?? opening?.secondary ?? primary;
  return first === undefined || second === undefined ? reading : { ...reading, primary: first, secondary: second };
}
