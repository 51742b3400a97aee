import { isAbsence } from '../judging/absence.ts';
import { isAdverse, type Fact } from './cab.ts';
import { reportConditions } from './conditions.ts';
import { judge } from '../judging/judge.ts';
import type { Measurement, TestId, TimedReading } from '../judging/measurement.ts';
import type { ConditionReport, StepResult } from '../judging/result.ts';
import { changed } from '../units/changed.ts';
import { withoutStop } from '../units/without-stop.ts';
import { CIRCUITS } from '../units/circuit.ts';
import { pressureIn } from '../units/pressure.ts';
import { without } from '../units/without.ts';
import { buildWindow } from './build-window.ts';
import { cueWords } from './cue-words.ts';
import type { StartEvent } from './event.ts';
import type { Step } from './plan.ts';
import type { Progress, StepRecord } from './state.ts';

/** What a step gathered, with what the steps before it measured, as the judge takes it. */
function measure(step: Step, progress: Progress, start: StartEvent, records: readonly StepRecord[]): Measurement {
  const earlier: Partial<Record<TestId, readonly TimedReading[]>> = {};
  const unjudged = new Set<TestId>();
  for (const record of records) {
    const before = start.plan.steps[record.index];
    if (before === undefined) continue;
    const { verdict, noLimit } = record.result;
    if (verdict === 'not judged' && noLimit !== true) unjudged.add(before.test);
    else unjudged.delete(before.test);
    if (isAbsence(before.test, record.progress.outcome?.cue)) continue;
    if (record.outcome === 'judged') earlier[before.test] = readingsOf(before, record.progress);
  }
  return {
    test: step.test,
    readings: readingsOf(step, progress),
    ...(progress.within === undefined ? {} : { between: progress.within }),
    ...(step.engineSpeed === undefined ? {} : { engineSpeed: step.engineSpeed }),
    ...(progress.outcome === undefined ? {} : { observed: progress.outcome.cue }),
    earlier,
    unjudged: [...unjudged],
  };
}

function readingsOf(step: Step, progress: Progress): readonly TimedReading[] {
  if (step.kind !== 'build') return progress.readings;
  const { lower, upper } = buildWindow(step, progress.readings);
  return [lower, upper].filter((reading) => reading !== undefined);
}

/**
 * The result with the conditions that it rests on; without a verdict where one of them was contradicted, or unknown though it must be
 * known. What was called as gone wrong stays so, whatever the cab.
 */
function underConditions(result: StepResult, step: Step, progress: Progress, start: StartEvent): StepResult {
  if (progress.cab === undefined) return result;
  const conditions = reportConditions(step, start, progress, progress.cab);
  if (conditions.length === 0) return result;
  const broken =
    conditions.find(({ state }) => state === 'contradicted') ?? conditions.find(({ state }) => state === 'unknown');
  if (broken === undefined || (result.verdict === 'fail' && isAdverse(progress.outcome?.cue)))
    return changed(result, { conditions });
  return { ...withoutVerdict(result, brokenWords(broken)), conditions };
}

/** "“engine started” was called: the condition is engine off. Repeat the measurement under it." */
function brokenWords({ what, state, by, late }: ConditionReport): string {
  const repeat = 'go back and repeat the measurement.';
  if (late === true && by !== undefined)
    return `“${by.heard}” was called only after the measurement had begun, and the condition is ${what}; ${repeat}`;
  if (state === 'unknown')
    return by === undefined
      ? `Not known: ${what}. Nothing that was called says so; ${repeat}`
      : `Not known any more: ${what}. “${by.heard}” was called before a long break; ${repeat}`;
  if (by === undefined) return `The condition is ${what}, and it was not so; ${repeat}`;
  return `“${by.heard}” was called, and the condition is ${what}; ${repeat}`;
}

export function withoutVerdict(result: StepResult, reason: string): StepResult {
  return { ...without(result, 'margin', 'decidingHold', 'noLimit'), verdict: 'not judged', reason };
}

/** What was taken back, or called once more, is told of beside what took its place. */
function withCorrections(
  result: StepResult,
  step: Step,
  progress: Progress,
  isAsking: boolean,
  withOpening: Rejudge,
): StepResult {
  const { corrected = [], outcome, failedBefore = [], openings = [], contested } = progress;
  const others = openings.flatMap((opening) => {
    const { verdict, reason } = withOpening(opening);
    return verdict === 'fail' ? [reason] : [];
  });
  const told = [
    ...corrected.map(
      (cue) => `“${cueWords(cue)}” was called before, and corrected to “${cueWords(outcome?.cue ?? '')}”`,
    ),
    ...(result.verdict === 'fail' ? [] : [...failedBefore, ...others]).map(
      (reason) => `Failed before the needles were corrected: ${withoutStop(reason)}`,
    ),
    ...calledOnceMore(result, step, progress),
    ...(progress.told ?? []),
    ...(contested === undefined ? [] : [contested]),
  ];
  const flagged = told.length === 0 ? result : changed(result, { flags: [...(result.flags ?? []), ...told] });
  if (contested === undefined || result.verdict === 'fail' || result.verdict === 'not judged') return flagged;
  const reason = `${withoutStop(result.reason)}; ${contested}.`;
  return isAsking ? { ...flagged, verdict: 'marginal', reason } : withoutVerdict(flagged, reason);
}

/** The result of the same step, had its hold begun with other needles. */
type Rejudge = (opening: TimedReading) => StepResult;

/** Conditions that were called again while the measurement ran: told of, since it may have been so only from then on. */
function calledOnceMore({ conditions = [] }: StepResult, step: Step, { cab, readings }: Progress): string[] {
  const [first, last] = [step.kind === 'build' ? buildWindow(step, readings).lower : readings[0], readings.at(-1)];
  if (cab === undefined || first === undefined || last === undefined) return [];
  const called = new Map<number, string[]>();
  for (const [part, { is, again }] of Object.entries<Fact>(cab)) {
    const what = `${part} ${is}`;
    if (again === undefined || again <= first.end || again >= last.start) continue;
    if (conditions.some((condition) => condition.what === what))
      called.set(again, [...(called.get(again) ?? []), what]);
  }
  return [...called].map(
    ([at, what]) =>
      `“${what.join(', ')}” was called once more ${String(Math.round((at - first.end) / 1000))} s after the measurement began`,
  );
}

/** A limit for two vehicles or more says nothing of a rig that is known to have no trailer. */
function forThisRig(result: StepResult, { rig, profile }: StartEvent): StepResult {
  const limit = result.limits.find(({ condition = '' }) =>
    /\b(two|three|three or more) vehicles\b|\bcombination\b/.test(condition),
  );
  if (limit === undefined || rig.fitted?.trailer !== false || result.verdict === 'fail') return result;
  return withoutVerdict(
    result,
    `${withoutStop(result.reason)}. That limit of “${profile.title}” is for a rig with a trailer, and this one has none; choose the limits for one vehicle.`,
  );
}

/** Tells of a pedal that took no air: that the brake was applied then rests on the callout alone. */
function unmoved(
  step: Step,
  { readings: [first] }: Progress,
  start: StartEvent,
  records: readonly StepRecord[],
): string[] {
  if (step.test !== 'applied-leakage' || first === undefined) return [];
  const record = records.findLast(
    ({ outcome, index }) => outcome === 'judged' && start.plan.steps[index]?.test === 'static-leakage',
  );
  const before = record?.progress.readings.at(-1);
  const fell = CIRCUITS.some((circuit) => {
    const [from, to] = [before?.[circuit], first[circuit]];
    return from === undefined || to === undefined || pressureIn(to, 'psi') < pressureIn(from, 'psi');
  });
  return fell ? [] : ['The needles did not fall when the brake was applied: that it was, rests on the callout alone'];
}

/**
 * Readings that the needles can hardly have shown: told of, and marginal at best, where they were confirmed, since a yes is said without a
 * second look; no verdict but a fail where nobody could be asked.
 */
function undoubted(result: StepResult, { readings, within = [] }: Progress): StepResult {
  const doubted = [...readings, ...within].filter((reading) => reading.doubted === true);
  const [first] = doubted;
  if (first === undefined) return result;
  const flags = doubted.map(
    (reading) =>
      `${needleWords(reading)} can hardly follow from the needles before; ${reading.unconfirmed === true ? 'nobody could be asked' : 'confirmed when asked'}`,
  );
  if (result.verdict === 'fail' || doubted.every(({ unconfirmed }) => unconfirmed !== true)) {
    if (result.verdict !== 'pass') return { ...result, flags };
    const reason = `${withoutStop(result.reason)}; ${needleWords(first)} can hardly follow from the needles before, confirmed when asked.`;
    return { ...result, verdict: 'marginal', reason, flags };
  }
  return {
    ...withoutVerdict(
      result,
      `${needleWords(first)} can hardly follow from the needles before, and nobody could be asked; repeat it.`,
    ),
    flags,
  };
}

/** What was called and had no place in the step does not vanish: the step is marginal at best. */
function withoutStrays(result: StepResult, { strays }: Progress): StepResult {
  if (strays === undefined) return result;
  const flags = [...(result.flags ?? []), ...strays];
  if (result.verdict !== 'pass') return { ...result, flags };
  return {
    ...result,
    verdict: 'marginal',
    reason: `${withoutStop(result.reason)}; ${strays.join('; ')}.`,
    flags,
  };
}

function needleWords({ primary, secondary }: TimedReading): string {
  const words = [
    ...(primary === undefined ? [] : [`primary ${String(primary.value)} ${primary.unit}`]),
    ...(secondary === undefined ? [] : [`secondary ${String(secondary.value)} ${secondary.unit}`]),
  ].join(', ');
  return words.charAt(0).toUpperCase() + words.slice(1);
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
  const judged = (on: Progress): StepResult => judge(measure(step, on, start, before), start.profile, start.rig);
  const figures = judged(progress);
  const counted = undoubted(underConditions(forThisRig(figures, start), step, progress, start), progress);
  const still = unmoved(step, progress, start, before);
  const seen = still.length === 0 ? counted : changed(counted, { flags: [...(counted.flags ?? []), ...still] });
  const result = withCorrections(withoutStrays(seen, progress), step, progress, start.asking === 'ask', (opening) =>
    judged({ ...progress, readings: [{ ...opening, callouts: [] }, ...progress.readings.slice(1)] }),
  );
  last = { index, progress, start, records, result };
  return result;
}

function sameData(one: Progress, other: Progress): boolean {
  const { readings } = other;
  return (
    one.outcome === other.outcome &&
    one.cab === other.cab &&
    one.within === other.within &&
    one.corrected === other.corrected &&
    one.failedBefore === other.failedBefore &&
    one.openings === other.openings &&
    one.contested === other.contested &&
    one.strays === other.strays &&
    one.told === other.told &&
    one.readings.length === readings.length &&
    one.readings.every((reading, index) => reading === readings[index])
  );
}
