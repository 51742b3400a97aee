import { isOfCab, type CabPart, type Condition } from '../judging/condition.ts';
import type { TestId, TimedReading } from '../judging/measurement.ts';
import type { ConditionReport, Source } from '../judging/result.ts';
import { pressureIn, type Pressure } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import { buildWindow } from './build-window.ts';
import { isAdverse, says, speaksAgainst, UNCLEAR, type Cab } from './cab.ts';
import type { StartEvent } from './event.ts';
import { cuesOf } from './needs.ts';
import type { Step } from './plan.ts';
import type { Progress } from './state.ts';

const PRACTICE: Source = { document: 'common practice of the fire service', sure: 'practice' };
const MANUAL: Source = { document: 'CDL model manual', section: 'section 5', sure: 'seen' };
/** A system that is fully charged is not below the lowest pressure at which a governor may cut in. */
const CUT_IN: Source = {
  document: 'California commercial driver handbook (2013 copy)',
  section: 'governor cut-in of 85 psi or more',
  sure: 'seen',
};
const IN_USE: Source = { document: '49 CFR 570.57', section: 'governor cut-in of 80 psi or more', sure: 'seen' };
/** Two sound gauges, each up to 10 % off at 125 psi. */
const GAUGES: Source = { document: 'California Vehicle Code', section: '26505, gauges within 10 %', sure: 'seen' };

const must = (part: CabPart, is: string, source: Source): Condition => ({ part, is, known: 'must', source });
const assumed = (part: CabPart, is: string, source: Source): Condition => ({ part, is, known: 'assumed', source });

const LEVEL = assumed('ground', 'level', PRACTICE);
const CHOCKED = assumed('chocks', 'set', PRACTICE);
const PROMPT: Condition = { momentToNeedles: { seconds: 10 }, source: PRACTICE };
const TOGETHER: Condition = { circuitsApart: { value: 25, unit: 'psi' }, source: GAUGES };
const lowest = (value: number, source: Source): Condition => ({ lowestStart: { value, unit: 'psi' }, source });

/** A rig that is to roll, or to try to. */
const ROLLING: readonly Condition[] = [
  assumed('chocks', 'stowed', PRACTICE),
  assumed('fast idle', 'off', PRACTICE),
  LEVEL,
];

/** What must be true for a test to count. A plan or a profile may demand more, and takes nothing away. */
const CONDITIONS: Readonly<Record<TestId, readonly Condition[]>> = {
  none: [],
  'plain-reading': [],
  'pre-start-fill': [assumed('engine', 'off', PRACTICE)],
  'governor-cut-out': [must('engine', 'running', PRACTICE), PROMPT, lowest(80, IN_USE), TOGETHER],
  // A start of the engine makes the needles rise too.
  'governor-cut-in': [{ ...must('engine', 'running', PRACTICE), since: 'before' }, PROMPT, TOGETHER],
  'static-leakage': [
    must('engine', 'off', MANUAL),
    must('parking brake', 'released', MANUAL),
    must('brake pedal', 'free', MANUAL),
    assumed('needles', 'settled', PRACTICE),
    lowest(85, CUT_IN),
    TOGETHER,
    CHOCKED,
    LEVEL,
  ],
  'applied-leakage': [
    must('engine', 'off', MANUAL),
    must('parking brake', 'released', MANUAL),
    must('brake pedal', 'applied', MANUAL),
    assumed('needles', 'settled', MANUAL),
    lowest(80, IN_USE),
    TOGETHER,
    CHOCKED,
    LEVEL,
  ],
  'low-air-warning': [must('engine', 'off', PRACTICE), PROMPT, CHOCKED],
  'spring-brake-activation': [
    must('engine', 'off', PRACTICE),
    must('parking brake', 'released', PRACTICE),
    PROMPT,
    CHOCKED,
    LEVEL,
  ],
  // A leak that the applied brake shuts off is not seen while somebody stands on it.
  'build-up': [must('engine', 'running', MANUAL), assumed('brake pedal', 'free', PRACTICE)],
  'tug-test': [
    must('engine', 'running', PRACTICE),
    must('parking brake', 'set', PRACTICE),
    must('selector', 'in drive', PRACTICE),
    assumed('brake pedal', 'free', PRACTICE),
    ...ROLLING,
  ],
  'hand-valve-test': [
    must('engine', 'running', PRACTICE),
    must('parking brake', 'released', PRACTICE),
    assumed('brake pedal', 'free', PRACTICE),
    assumed('selector', 'in drive', PRACTICE),
    ...ROLLING,
  ],
  // That it rolls shows that the parking brake is off, unless it is said to be set just then.
  'service-brake-test': [
    must('engine', 'running', PRACTICE),
    { ...assumed('parking brake', 'released', PRACTICE), since: 'within' },
    ...ROLLING,
  ],
};

/** A fill up to the governor's cut-out. */
const FILLED: readonly Condition[] = [must('engine', 'running', PRACTICE), lowest(80, IN_USE), TOGETHER];

/** The speed of a build-up is a condition of its limit: at fast idle it has to be on, at curb idle nobody may have set it. */
function speedConditions(step: Step, { rig }: StartEvent): readonly Condition[] {
  if (step.test !== 'build-up') return [];
  if (step.engineSpeed === 'idle') return [assumed('fast idle', 'off', PRACTICE)];
  const isSet = step.cues.includes('fast-idle-set') && rig.fitted?.fastIdle !== false;
  return isSet ? [must('fast idle', 'on', MANUAL)] : [];
}

const known = new WeakMap<StartEvent, Map<Step, readonly Condition[]>>();

/** Every condition of a step's measurement: of its test, its plan and the profile. Kept, since each callout asks for them. */
export function conditionsOf(step: Step, start: StartEvent): readonly Condition[] {
  const ofCheck = known.get(start) ?? new Map<Step, readonly Condition[]>();
  known.set(start, ofCheck);
  const before = ofCheck.get(step);
  if (before !== undefined) return before;
  const all = [
    ...CONDITIONS[step.test],
    ...(step.test === 'plain-reading' && step.outcomes?.includes('cut-out') === true ? FILLED : []),
    ...speedConditions(step, start),
    ...(step.conditions ?? []),
    ...(start.profile.tests.find(({ test }) => test === step.test)?.conditions ?? []),
  ];
  ofCheck.set(step, all);
  return all;
}

/** The first cue that speaks against a condition of the step, when it is no cue of the step itself. */
export function contradictionIn(
  step: Step,
  start: StartEvent,
  cues: readonly string[],
): { readonly cue: string; readonly condition: Condition } | undefined {
  const own = cuesOf(step);
  for (const cue of cues) {
    if (own.includes(cue)) continue;
    const condition = conditionsOf(step, start).find((each) => isOfCab(each) && speaksAgainst(cue, each.part, each.is));
    if (condition !== undefined) return { cue, condition };
  }
  return undefined;
}

/** True while a condition that must be known is not, and a cue of the step will say it. */
export function waitsForCab(step: Step, start: StartEvent, cab: Cab): boolean {
  return conditionsOf(step, start).some(
    (condition) =>
      isOfCab(condition) &&
      condition.known === 'must' &&
      !isSo(cab, condition.part, condition.is) &&
      step.cues.some((cue) => says(cue, condition.part, condition.is)),
  );
}

/** True when it is known, and not from before a long break, that the part is so. */
export function isSo(cab: Cab, part: CabPart, is: string): boolean {
  const fact = cab[part];
  return fact !== undefined && fact.stale !== true && fact.is === is;
}

/**
 * Why a reading may not open a hold: it is too low, its needles are too far apart, or the cab is not known to be as it must. Undefined
 * when it may.
 */
export function unfitOpening(step: Step, start: StartEvent, reading: TimedReading, cab: Cab): Condition | undefined {
  return conditionsOf(step, start).find((condition) => {
    if ('lowestStart' in condition) return isBelow(reading, condition.lowestStart);
    if ('circuitsApart' in condition) return isApart(reading, condition.circuitsApart);
    return isOfCab(condition) && condition.known === 'must' && !isSo(cab, condition.part, condition.is);
  });
}

function isBelow({ primary, secondary }: TimedReading, lowest: Pressure): boolean {
  return [primary, secondary].some(
    (pressure) => pressure !== undefined && pressureIn(pressure, lowest.unit) < lowest.value,
  );
}

function isApart({ primary, secondary }: TimedReading, most: Pressure): boolean {
  if (primary === undefined || secondary === undefined) return false;
  return Math.abs(pressureIn(primary, most.unit) - pressureIn(secondary, most.unit)) > most.value;
}

/** Longest time from a moment to its needles in this step, in ms; undefined where it does not matter. */
export function momentLimit(step: Step, start: StartEvent): Ms | undefined {
  const limit = conditionsOf(step, start).find((condition) => 'momentToNeedles' in condition);
  return limit === undefined ? undefined : limit.momentToNeedles.seconds * 1000;
}

/** How each condition of the measurement stood, on the cab as it was when it was made. */
export function reportConditions(step: Step, start: StartEvent, progress: Progress, cab: Cab): ConditionReport[] {
  return conditionsOf(step, start).map((condition) => ({
    what: conditionWords(condition),
    source: condition.source,
    ...stateOf(condition, step, progress, cab),
  }));
}

function stateOf(
  condition: Condition,
  step: Step,
  { readings, outcome, from = 0 }: Progress,
  cab: Cab,
): Pick<ConditionReport, 'state' | 'by' | 'late'> {
  const [first] = readings;
  if ('lowestStart' in condition)
    return { state: first !== undefined && isBelow(first, condition.lowestStart) ? 'contradicted' : 'known' };
  if ('circuitsApart' in condition)
    return { state: first !== undefined && isApart(first, condition.circuitsApart) ? 'contradicted' : 'known' };
  if ('momentToNeedles' in condition) {
    const isLate =
      step.kind === 'event' &&
      first !== undefined &&
      outcome !== undefined &&
      !isAdverse(outcome.cue) &&
      first.start - outcome.at > condition.momentToNeedles.seconds * 1000;
    return { state: isLate ? 'contradicted' : 'known' };
  }
  const fact = cab[condition.part];
  const begun = step.kind === 'hold' ? first : buildWindow(step, readings).lower;
  const until = condition.since === 'before' ? from : (begun?.end ?? Infinity);
  const isOld = condition.since === 'within' && fact !== undefined && (fact.again ?? fact.at) < from;
  if (fact?.stale === true && condition.known === 'must')
    return { state: 'unknown', by: { heard: fact.heard, at: fact.at } };
  const isOpen = fact?.is === UNCLEAR && condition.known === 'assumed';
  if (fact?.is === condition.is && fact.at > until && condition.known === 'must')
    return { state: 'unknown', by: { heard: fact.heard, at: fact.at }, late: true };
  if (fact === undefined || fact.stale === true || fact.at > until || isOld || isOpen)
    return { state: condition.known === 'must' ? 'unknown' : 'assumed' };
  return { state: fact.is === condition.is ? 'known' : 'contradicted', by: { heard: fact.heard, at: fact.at } };
}

/** "engine off", "both needles at 85 psi or more". */
export function conditionWords(condition: Condition): string {
  if ('lowestStart' in condition)
    return `both needles at ${String(condition.lowestStart.value)} ${condition.lowestStart.unit} or more`;
  if ('circuitsApart' in condition)
    return `needles no more than ${String(condition.circuitsApart.value)} ${condition.circuitsApart.unit} apart`;
  if ('momentToNeedles' in condition)
    return `needles called no more than ${String(condition.momentToNeedles.seconds)} s after the moment`;
  return `${condition.part} ${condition.is}`;
}
