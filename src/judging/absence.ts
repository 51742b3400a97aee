import { appliedTo } from './applied.ts';
import { assess, worst } from './assess.ts';
import type { Measurement, TestId } from './measurement.ts';
import type { LimitFigure, TestLimits } from './profile.ts';
import { higherCircuit, lowerCircuit, needleEntry } from './readings.ts';
import type { Needles } from './readings.ts';
import type { RigSettings, StepResult } from './result.ts';
import { judgedBy, notJudged } from './sheet.ts';
import type { Sheet } from './sheet.ts';
import { limitWords, shown, sourceWords } from './wording.ts';

/** A test of something that may never come. */
interface Absence {
  /** Cue that says so. */
  readonly cue: string;
  readonly figure: LimitFigure;
  /** The needle that has to be below the limit before waiting has decided anything: see `RULES` in `single.ts`. */
  readonly governs: 'higher' | 'lower';
  readonly what: string;
}

/** A warning comes when either circuit is low, a parking valve pops when both are. */
const ABSENCES: Readonly<Partial<Record<TestId, Absence>>> = {
  'low-air-warning': {
    cue: 'no-warning',
    figure: 'warningAt',
    governs: 'lower',
    what: 'The low-air warning did not come',
  },
  'spring-brake-activation': {
    cue: 'valve-stayed-in',
    figure: 'activationAt',
    governs: 'higher',
    what: 'The parking valve did not pop',
  },
};

/** True when `cue` says that what the test waits for never came: its needles are then no measurement of it. */
export function isAbsence(test: TestId, cue: string | undefined): boolean {
  return cue !== undefined && ABSENCES[test]?.cue === cue;
}

/**
 * The verdict on something that was called as not coming, with the needles at which waiting ended: a fail once these are below the
 * lowest pressure at which it may come, else not judged. Undefined when nothing of the kind was called.
 */
export function judgeAbsence(
  { test, observed }: Measurement,
  needles: Needles,
  limits: TestLimits | undefined,
  rig: RigSettings,
): StepResult | undefined {
  const absence = ABSENCES[test];
  if (absence === undefined || observed !== absence.cue) return undefined;
  const circuit = absence.governs === 'lower' ? lowerCircuit(needles) : higherCircuit(needles);
  const entry = needleEntry(circuit, circuit, needles, rig, `the ${absence.governs} needle when waiting ended`);
  const lowest = (limits?.limits ?? [])
    .filter(({ figure, min }) => figure === absence.figure && min !== undefined)
    .map((limit) => appliedTo(limit, circuit));
  const subject = { figure: circuit, label: absence.what, value: entry.figure, told: (value: string) => `at ${value}` };
  const assessments = lowest
    .flatMap((limit) => assess(subject, limit))
    .filter(({ bound, limit }) => bound === limit.min);
  const sheet: Sheet = { entries: [entry], limits: lowest, assessments, missing: [] };
  const stood = `with the ${absence.governs} needle at ${shown(needles[circuit])} ${needles.unit}`;
  const decided = worst(assessments);
  if (decided === undefined) return notJudged(`${absence.what} ${stood}; the profile sets no lowest pressure.`, sheet);
  const rule = `limit ${limitWords(decided.limit)} (${sourceWords(decided.limit.source)})`;
  return decided.verdict === 'fail'
    ? judgedBy(decided, sheet, `${absence.what} ${stood}; ${rule}.`)
    : notJudged(`${absence.what} ${stood}, where it may still come; ${rule}. Go on further down.`, sheet);
}
