import { isAbsence } from '../judging/absence.ts';
import { judge } from '../judging/judge.ts';
import type { Measurement, TestId, TimedReading } from '../judging/measurement.ts';
import type { StepResult } from '../judging/result.ts';
import { buildWindow } from './build-window.ts';
import type { StartEvent } from './event.ts';
import type { Step } from './plan.ts';
import type { Progress, StepRecord } from './state.ts';

/** What a step gathered, with what the steps before it measured, as the judge takes it. */
function measure(step: Step, progress: Progress, start: StartEvent, records: readonly StepRecord[]): Measurement {
  const earlier: Partial<Record<TestId, readonly TimedReading[]>> = {};
  for (const record of records) {
    const before = start.plan.steps[record.index];
    if (before === undefined || isAbsence(before.test, record.progress.outcome?.cue)) continue;
    if (record.progress.readings.length > 0 && record.outcome === 'judged') {
      earlier[before.test] = readingsOf(before, record.progress);
    }
  }
  return {
    test: step.test,
    readings: readingsOf(step, progress),
    ...(step.engineSpeed === undefined ? {} : { engineSpeed: step.engineSpeed }),
    ...(progress.outcome === undefined ? {} : { observed: progress.outcome.cue }),
    earlier,
  };
}

function readingsOf(step: Step, progress: Progress): readonly TimedReading[] {
  if (step.kind !== 'build') return progress.readings;
  const { lower, upper } = buildWindow(step, progress.readings);
  return [lower, upper].filter((reading) => reading !== undefined);
}

interface Judged {
  readonly index: number;
  readonly progress: Progress;
  readonly start: StartEvent;
  readonly records: readonly StepRecord[];
  readonly result: StepResult;
}

/**
 * The last result. A reading is judged when it is called, to see whether it would fail, and once more with the very
 * same data when the step is finished; judging is the larger part of a replay.
 */
let last: Judged | undefined;

/** The result of a step that stands at `index` of the plan, judged on `progress`. */
export function judgeStep(
  index: number,
  progress: Progress,
  start: StartEvent,
  records: readonly StepRecord[],
): StepResult {
  if (last?.index === index && last.start === start && last.records === records && sameData(last.progress, progress))
    return last.result;
  const step = start.plan.steps[index];
  if (step === undefined) throw new Error(`no step ${String(index)} in the plan ${start.plan.id}`);
  const before = records.filter((record) => record.index < index);
  const result = judge(measure(step, progress, start, before), start.profile, start.rig);
  last = { index, progress, start, records, result };
  return result;
}

function sameData(one: Progress, other: Progress): boolean {
  const { readings } = other;
  return (
    one.outcome === other.outcome &&
    one.readings.length === readings.length &&
    one.readings.every((reading, index) => reading === readings[index])
  );
}
