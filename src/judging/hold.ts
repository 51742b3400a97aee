import { pressureIn } from '../units/pressure.ts';
import type { PressureUnit } from '../units/pressure.ts';
import { appliedTo } from './applied.ts';
import { assess, reasonOf, worst } from './assess.ts';
import type { Assessment } from './assess.ts';
import { CIRCUITS } from '../units/circuit.ts';
import { CIRCUIT_WORDS } from './circuits.ts';
import { compare, convert } from './compare.ts';
import {
  dropEntry,
  dropSubject,
  intervalEntry,
  leakageEntry,
  leakOf,
  RATE_FIGURE,
  rateEntry,
  rateSubject,
  timeToWarningEntry,
} from './leak.ts';
import type { Leak, WarningLine } from './leak.ts';
import type { Measurement, TimedReading } from './measurement.ts';
import type { TestLimits } from './profile.ts';
import { pairOf } from './readings.ts';
import type { AppliedLimit, RigSettings, StepResult } from './result.ts';
import type { Entry, Sheet } from './sheet.ts';
import { EMPTY_SHEET, judgedBy, notJudged } from './sheet.ts';
import { limitWords, shown, sourceWords } from './wording.ts';

/** A hold of more seconds than this cannot be judged. A convention of ours; sources ask for one or two minutes. */
export const LONGEST_HOLD = 900;

/**
 * Seconds around the nominal end of a hold in which needles are a call at its end: up to so long before it they are judged by their rate,
 * up to so long after it by the drop itself, as a document means that says "less than 2 psi in one minute". A convention of ours.
 */
export const CLOSING_BAND = 3;

/** A leakage test and the limits it is held against. */
export interface HoldCase {
  readonly measurement: Measurement;
  readonly limits: TestLimits | undefined;
  readonly rig: RigSettings;
  /** Where the time to the low-air warning is computed to; absent when neither rig nor profile says. */
  readonly warning: WarningLine | undefined;
}

/**
 * Static and applied leakage. Each circuit alone, the worst decides, over the true interval: end of the first reading's words to the onset
 * of the second's. At the nominal end the drop itself is compared, else the rate per 60 s (see `CLOSING_BAND`). A hold that is shorter
 * cannot pass; a drop that is too large for the whole hold fails it at once, at its end or within it.
 */
export function judgeHold({ measurement, limits, rig, warning }: HoldCase): StepResult {
  const within = failedWithin(measurement, limits, rig);
  if (within !== undefined) return within;
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
  const contests = contestsOf(leaks, limits);
  const nominal = limits?.holdSeconds;
  const byDrop = nominal !== undefined && isAtEnd(interval, nominal);
  const assessments = contests.flatMap(({ leak, limit }) =>
    assess(byDrop ? dropSubject(leak, nominal) : rateSubject(leak), limit),
  );
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
  const rates = contests.flatMap(({ leak, limit }) => assess(rateSubject(leak), limit));
  return verdictOf({
    leaks,
    sheet,
    decided,
    rates,
    interval,
    wanted: limits.holdSeconds,
    between: measurement.between ?? [],
  });
}

function contestsOf(
  leaks: readonly Leak[],
  limits: TestLimits | undefined,
): readonly { readonly leak: Leak; readonly limit: AppliedLimit }[] {
  return leaks.flatMap((leak) =>
    (limits?.limits ?? []).map((limit) => ({ leak, limit: appliedTo(limit, RATE_FIGURE[leak.circuit]) })),
  );
}

/** True when the needles were called at the nominal end of a hold or shortly after it. */
function isAtEnd(interval: number, nominal: number): boolean {
  return compare(interval, nominal) >= 0 && compare(interval, nominal + CLOSING_BAND) <= 0;
}

/** A fail by needles that were called while the hold ran; undefined when they do not decide it. */
function failedWithin(
  { readings, between = [] }: Measurement,
  limits: TestLimits | undefined,
  rig: RigSettings,
): StepResult | undefined {
  const [opening] = readings;
  const wanted = limits?.holdSeconds;
  if (opening === undefined || wanted === undefined) return undefined;
  for (const reading of between) {
    for (const circuit of CIRCUITS) {
      const pair = reading[circuit] === undefined ? undefined : pairOf([opening, { ...opening, ...reading }]);
      if (pair === undefined || typeof pair === 'string') continue;
      const leak = leakOf(circuit, ...pair, rig);
      if (compare(leak.interval, 0) <= 0) continue;
      const contests = contestsOf([leak], limits);
      const sheet: Sheet = {
        entries: [dropEntry(leak), rateEntry(leak), intervalEntry(...pair, leak.interval)],
        limits: contests.map(({ limit }) => limit),
        assessments: contests.flatMap((contest) => assess(rateSubject(leak), contest.limit)),
        missing: [],
      };
      const failed = failedAlready({ leaks: [leak], sheet, interval: leak.interval, wanted });
      if (failed !== undefined) return failed;
    }
  }
  return undefined;
}

interface Hold {
  readonly leaks: readonly Leak[];
  readonly sheet: Sheet;
  readonly decided: Assessment;
  /** Every circuit by its rate, whatever decided. */
  readonly rates: readonly Assessment[];
  /** Seconds: as measured, and as the profile asks. */
  readonly interval: number;
  readonly wanted: number;
  readonly between: readonly TimedReading[];
}

function verdictOf(hold: Hold): StepResult {
  const { leaks, sheet, decided, interval, wanted } = hold;
  if (compare(interval, wanted - CLOSING_BAND) < 0) {
    return (
      failedAlready(hold) ??
      notJudged(`The hold lasted ${shown(interval, wanted)} s and must last ${shown(wanted)} s; repeat it.`, sheet)
    );
  }
  const reason = `${reasonOf(decided).replace(/\.$/, '')}${basisWords(interval, wanted)}.`;
  if (decided.verdict === 'fail') return judgedBy(decided, sheet, reason);
  const risen = leaks.find(({ drop, dropError }) => compare(-drop, dropError) > 0);
  if (risen !== undefined) {
    const { circuit, drop, dropError, unit } = risen;
    return notJudged(
      `pressure rose: ${circuit} by ${shown(-drop)} ${unit} in ${shown(interval)} s, more than the reading error of ${shown(dropError)} ${unit}; repeat the hold with the engine off.`,
      sheet,
    );
  }
  const rebound = reboundOf(hold);
  if (rebound !== undefined) return notJudged(rebound, sheet);
  if (compare(interval, LONGEST_HOLD) > 0) {
    return notJudged(
      `The hold lasted ${shown(interval)} s, and needles count up to ${LONGEST_HOLD} s after its start; repeat it with ${shown(wanted)} s.`,
      sheet,
    );
  }
  const result = judgedBy(decided, sheet, reason);
  const seconds = decided.verdict === 'marginal' ? decidingHold(hold) : undefined;
  if (seconds === undefined) return result;
  return {
    ...result,
    reason: result.reason.replace(/\.$/, `; a hold of ${seconds} s would decide it.`),
    decidingHold: seconds,
  };
}

/** Why the figure compared is the drop or the rate, where the call was not at the very end. */
function basisWords(interval: number, wanted: number): string {
  if (isAtEnd(interval, wanted))
    return compare(interval, wanted) === 0 ? '' : `; called at ${shown(interval, wanted)} s, so the drop itself counts`;
  return `; called at ${shown(interval, wanted)} s of ${shown(wanted)} s, so the rate counts`;
}

/** In words, a circuit that stood higher at the end than it was called within the hold, by more than one mark of the dial. */
function reboundOf({ leaks, between, interval }: Hold): string | undefined {
  for (const { circuit, after, unit, resolution } of leaks) {
    const called = between.flatMap((reading) => {
      const pressure = reading[circuit];
      return pressure === undefined ? [] : [pressureIn(pressure, unit)];
    });
    const lowest = Math.min(...called);
    // One mark either way is parallax.
    if (compare(after - lowest, 1.5 * resolution) > 0)
      return `pressure rose: ${circuit} was called at ${shown(lowest)} ${unit} in the hold and at ${shown(after)} ${unit} at its end, after ${shown(interval)} s; repeat the hold with the engine off.`;
  }
  return undefined;
}

/**
 * Whole seconds of hold after which every circuit, leaking on as it did, is clear of its limit: the error of a
 * rate shrinks as the hold grows, its distance to the limit does not. Undefined when that takes more than `LONGEST_HOLD`.
 */
function decidingHold({ rates, interval, wanted }: Hold): number | undefined {
  const needed = rates.map(({ uncertainty, margin }) => (uncertainty * interval) / margin);
  const seconds = Math.ceil(Math.max(...needed, wanted + CLOSING_BAND + 1));
  return seconds <= LONGEST_HOLD ? seconds : undefined;
}

/** A fail by the raw drop of a short hold; undefined while the drop could still be inside the limit of a whole one. */
function failedAlready({
  leaks,
  sheet,
  interval,
  wanted,
}: Pick<Hold, 'leaks' | 'sheet' | 'interval' | 'wanted'>): StepResult | undefined {
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
