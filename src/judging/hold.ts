import type { PressureUnit } from '../units/pressure.ts';
import { appliedTo } from './applied.ts';
import { assess, worst } from './assess.ts';
import type { Assessment } from './assess.ts';
import { CIRCUITS, CIRCUIT_WORDS } from './circuits.ts';
import { compare, convert } from './compare.ts';
import {
  dropEntry,
  intervalEntry,
  leakageEntry,
  leakOf,
  RATE_FIGURE,
  rateEntry,
  rateSubject,
  timeToWarningEntry,
} from './leak.ts';
import type { Leak, WarningLine } from './leak.ts';
import type { Measurement } from './measurement.ts';
import type { TestLimits } from './profile.ts';
import { pairOf } from './readings.ts';
import type { RigSettings, StepResult } from './result.ts';
import type { Entry, Sheet } from './sheet.ts';
import { EMPTY_SHEET, judgedBy, notJudged } from './sheet.ts';
import { limitWords, shown, sourceWords } from './wording.ts';

/**
 * A hold of this many seconds or more cannot pass: by then the air's cooling moves the needles as far as a leak at the
 * limit does. A convention of ours; sources ask for one or two minutes.
 */
export const LONGEST_HOLD = 300;

/** A leakage test and the limits it is held against. */
export interface HoldCase {
  readonly measurement: Measurement;
  readonly limits: TestLimits | undefined;
  readonly rig: RigSettings;
  /** Where the time to the low-air warning is computed to; absent when neither rig nor profile says. */
  readonly warning: WarningLine | undefined;
}

/**
 * Static and applied leakage. Each circuit alone, the worst decides; the rate per 60 s of the true interval (end of the
 * first reading's words to the onset of the second's) is compared. A hold shorter than the profile's cannot pass, and
 * fails only by a drop that is already too large for the whole hold.
 */
export function judgeHold({ measurement, limits, rig, warning }: HoldCase): StepResult {
  const called = pairOf(measurement.readings);
  if (typeof called === 'string') return notJudged(called);
  const [first, second] = called;
  const interval = (second.start - first.end) / 1000;
  const leaks = CIRCUITS.map((circuit) => leakOf(circuit, first, second, rig));
  const drops = leaks.map(dropEntry);
  if (compare(interval, 0) <= 0) {
    return notJudged('The second reading does not come after the first; there is no hold to judge.', {
      ...EMPTY_SHEET,
      entries: drops,
    });
  }
  const air = airOf({ measurement, limits, rig, warning }, leaks);
  const contests = leaks.flatMap((leak) =>
    (limits?.limits ?? []).map((limit) => ({ leak, limit: appliedTo(limit, RATE_FIGURE[leak.circuit]) })),
  );
  const assessments = contests.flatMap(({ leak, limit }) => assess(rateSubject(leak), limit));
  const sheet: Sheet = {
    entries: [...drops, ...leaks.map(rateEntry), intervalEntry(first, second, interval), ...air.entries],
    limits: contests.map(({ limit }) => limit),
    assessments,
    missing: air.missing,
  };
  const decided = worst(assessments);
  if (limits?.holdSeconds === undefined || decided === undefined) {
    return { ...notJudged('The profile sets no limit for this leak; the figures are kept.', sheet), noLimit: true };
  }
  return verdictOf({ leaks, sheet, decided, interval, wanted: limits.holdSeconds });
}

interface Hold {
  readonly leaks: readonly Leak[];
  readonly sheet: Sheet;
  readonly decided: Assessment;
  /** Seconds: as measured, and as the profile asks. */
  readonly interval: number;
  readonly wanted: number;
}

function verdictOf(hold: Hold): StepResult {
  const { leaks, sheet, decided, interval, wanted } = hold;
  if (compare(interval, wanted) < 0) {
    return (
      failedAlready(hold) ??
      notJudged(`The hold lasted ${shown(interval, wanted)} s and must last ${shown(wanted)} s; repeat it.`, sheet)
    );
  }
  if (decided.verdict === 'fail') return judgedBy(decided, sheet);
  const risen = leaks.find(({ drop, dropError }) => compare(-drop, dropError) > 0);
  if (risen !== undefined) {
    const { circuit, drop, dropError, unit } = risen;
    return notJudged(
      `pressure rose: ${circuit} by ${shown(-drop)} ${unit} in ${shown(interval)} s, more than the reading error of ${shown(dropError)} ${unit}; repeat the hold with the engine off.`,
      sheet,
    );
  }
  if (compare(interval, LONGEST_HOLD) >= 0) {
    return notJudged(
      `The hold lasted ${shown(interval)} s; from ${LONGEST_HOLD} s on, cooling air cannot be told from a leak, so repeat it with ${shown(wanted)} s.`,
      sheet,
    );
  }
  const result = judgedBy(decided, sheet);
  const seconds = decided.verdict === 'marginal' ? decidingHold(sheet.assessments, interval) : undefined;
  if (seconds === undefined) return result;
  return {
    ...result,
    reason: result.reason.replace(/\.$/, `; a hold of ${seconds} s would decide it.`),
    decidingHold: seconds,
  };
}

/**
 * Whole seconds of hold after which every circuit, leaking on as it did, is clear of its limit: the error of a
 * rate shrinks as the hold grows, its distance to the limit does not. Undefined when that takes `LONGEST_HOLD` or more.
 */
function decidingHold(assessments: readonly Assessment[], interval: number): number | undefined {
  const needed = assessments.map(({ uncertainty, margin }) => (uncertainty * interval) / margin);
  const seconds = Math.ceil(Math.max(...needed));
  return seconds < LONGEST_HOLD ? seconds : undefined;
}

/** A fail by the raw drop of a short hold; undefined while the drop could still be inside the limit of a whole one. */
function failedAlready({ leaks, sheet, interval, wanted }: Hold): StepResult | undefined {
  const over = sheet.assessments.flatMap((assessment) => {
    const { limit, bound, subject } = assessment;
    const unit: PressureUnit = limit.unit === 'kPa/min' ? 'kPa' : 'psi';
    const allowed = (bound * wanted) / 60;
    return leaks
      .filter(({ circuit }) => RATE_FIGURE[circuit] === subject.figure)
      .map((leak) => ({ assessment, leak, unit, allowed, drop: convert(leak.drop, leak.unit, unit) }))
      .filter(({ drop }) => compare(drop, allowed) > (limit.strict === true ? -1 : 0));
  });
  const decided = worst(over.map(({ assessment }) => assessment));
  const detail = over.find(({ assessment }) => assessment === decided);
  if (decided === undefined || detail === undefined) return undefined;
  const { leak, unit, allowed, drop } = detail;
  const whole = limitWords({ ...decided.limit, max: allowed, unit });
  const reason = `${CIRCUIT_WORDS[leak.circuit]} dropped ${shown(drop, allowed)} ${unit} in only ${shown(interval)} s; a whole hold of ${shown(wanted)} s allows ${whole} (${sourceWords(decided.limit.source)}).`;
  return judgedBy(decided, sheet, reason);
}

/** The leak as free air, and how long the parked rig would take to its warning; with what kept them from being computed. */
function airOf(
  { measurement, rig, warning }: HoldCase,
  leaks: readonly Leak[],
): { readonly entries: readonly Entry[]; readonly missing: readonly string[] } {
  const flow = leakageEntry(leaks, rig);
  const isParked = measurement.test === 'static-leakage';
  const time = isParked && warning !== undefined ? timeToWarningEntry(leaks, warning) : undefined;
  return {
    entries: [flow, time].filter((entry) => entry !== undefined),
    missing: [
      ...(flow === undefined
        ? ['The leakage as free air needs the volumes of the primary and secondary reservoirs in the rig settings.']
        : []),
      ...(isParked && time === undefined
        ? [
            warning === undefined
              ? 'The time to the low-air warning needs a low-air warning limit or reading.'
              : 'The time to the low-air warning needs a drop above the warning pressure.',
          ]
        : []),
    ],
  };
}
