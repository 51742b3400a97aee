import { pressureIn } from '../units/pressure.ts';
import type { PressureUnit } from '../units/pressure.ts';
import { freeAir, volumeCorrectedBuildUp } from './air.ts';
import { appliedTo } from './applied.ts';
import { assess, worst } from './assess.ts';
import type { Subject } from './assess.ts';
import { CIRCUITS } from './circuits.ts';
import { compare, LITRES_PER_CUBIC_FOOT } from './compare.ts';
import type { Measurement, TimedReading } from './measurement.ts';
import type { Limit, SpanEnd, TestLimits } from './profile.ts';
import { lowerCircuit, needlesOf, readingFault } from './readings.ts';
import type { Needles } from './readings.ts';
import type { AppliedLimit, Figure, RigSettings, StepResult } from './result.ts';
import type { Entry, Sheet } from './sheet.ts';
import { EMPTY_SHEET, figure, judgedBy, notJudged } from './sheet.ts';
import { combine, COVERAGE, readingUncertainty } from './uncertainty.ts';
import { shown } from './wording.ts';

/**
 * How far into the span a window may begin, as a part of the span: a needle called at 86 psi still times 85 to 100,
 * one called at 90 does not. A convention of ours.
 */
const LATE_START = 0.2;

/** A window longer than this many spans averages over too different pressures to stand for the span. */
const LONGEST_WINDOW = 2;

/** The lower needle over the window: "both gauges" have reached a pressure when the lower one has. */
interface Window {
  readonly start: Needles;
  readonly end: Needles;
  readonly from: number;
  readonly to: number;
  readonly unit: PressureUnit;
  /** Seconds from the onset of the first callout to the onset of the second. */
  readonly seconds: number;
  /** Expanded uncertainty of the rise. */
  readonly riseError: number;
}

interface Span {
  readonly from: number;
  readonly to: number;
}

/**
 * Build-up: the time in which the lower needle rises over the profile's span, from a window that (nearly) covers it:
 * time × span ÷ rise. With reservoir volumes known, also the free air that the compressor delivered.
 */
export function judgeBuildUp(measurement: Measurement, limits: TestLimits | undefined, rig: RigSettings): StepResult {
  const fault = readingFault(measurement.readings, 2);
  const [first, second] = measurement.readings;
  if (fault !== undefined || first === undefined || second === undefined)
    return notJudged(fault ?? 'Two readings are needed.');
  const window = windowOf(first, second, rig);
  if (window === undefined || compare(window.seconds, 0) <= 0) {
    return notJudged('The upper pressure was not called after the lower one; there is no time to judge.');
  }
  if (compare(window.to, window.from) <= 0) {
    return notJudged(
      `The lower needle did not rise: ${shown(window.from)} to ${shown(window.to)} ${window.unit} in ${shown(window.seconds)} s.`,
    );
  }
  const air = deliveredAir(window, rig);
  const requirement = requirementOf(limits, rig);
  const missing = [...air.missing, ...requirement.missing];
  const known: Sheet = { ...EMPTY_SHEET, entries: [...air.entries, ...requirement.entries], missing };
  if (limits?.span === undefined || limits.limits.length === 0) {
    return { ...notJudged('The profile sets no limit for build-up; the figures are kept.', known), noLimit: true };
  }
  const span = spanOf(limits.span, measurement, window.unit);
  if (typeof span === 'string') return notJudged(span, known);
  const mismatch = spanFault(window, span);
  if (mismatch !== undefined) return notJudged(mismatch, known);
  const entry = timeEntry(window, span);
  const applied = requirement.limits;
  const assessments = applied.flatMap((limit) => assess(subjectOf(window, span, entry.figure), limit));
  const sheet: Sheet = { entries: [entry, ...known.entries], limits: applied, assessments, missing };
  const decided = worst(assessments);
  if (decided === undefined) return notJudged(requirement.missing.join(' '), sheet);
  if (limits.engineSpeed === 'idle' && measurement.engineSpeed !== 'idle' && decided.verdict !== 'fail') {
    return notJudged('The limit is for a build-up at idle, and this one was faster; repeat it at idle.', sheet);
  }
  if (limits.engineSpeed === 'operating' && measurement.engineSpeed === 'idle' && decided.verdict === 'fail') {
    return notJudged(
      'The limit is for a build-up at operating speed, and this one was at idle; repeat it at operating speed.',
      sheet,
    );
  }
  return judgedBy(decided, sheet);
}

function windowOf(first: TimedReading, second: TimedReading, rig: RigSettings): Window | undefined {
  const start = needlesOf(first);
  const end = needlesOf(second);
  if (start === undefined || end === undefined) return undefined;
  const low = lowerCircuit(start);
  const high = lowerCircuit(end);
  const { unit } = start;
  return {
    start,
    end,
    from: start[low],
    to: end[high],
    unit,
    seconds: (second.start - first.start) / 1000,
    riseError: COVERAGE * combine(readingUncertainty(rig, low, unit), readingUncertainty(rig, high, unit)),
  };
}

function spanOf(
  { from, to }: { readonly from: SpanEnd; readonly to: SpanEnd },
  { earlier }: Measurement,
  unit: PressureUnit,
): Span | string {
  const endOf = (end: SpanEnd): number | string => {
    if ('value' in end) return pressureIn(end, unit);
    const reading = earlier?.[end.of]?.at(-1);
    const needles = reading === undefined ? undefined : needlesOf(reading);
    if (needles === undefined)
      return `The span of the limit depends on the pressure of the step ${end.of}, which was not measured.`;
    return pressureIn({ value: needles[lowerCircuit(needles)], unit: needles.unit }, unit) * end.times;
  };
  const lower = endOf(from);
  const upper = endOf(to);
  if (typeof lower === 'string') return lower;
  return typeof upper === 'string' ? upper : { from: lower, to: upper };
}

/** Why the window cannot stand for the span; undefined when it can. */
function spanFault(window: Window, span: Span): string | undefined {
  const { from, to, unit } = window;
  const width = span.to - span.from;
  const asked = `the limit is for ${shown(span.from)} to ${shown(span.to)} ${unit}`;
  if (width <= 0) return `The span of the limit is empty: ${shown(span.from)} to ${shown(span.to)} ${unit}.`;
  if (compare(to, span.to) < 0) return `The lower needle reached ${shown(to, span.to)} ${unit}, and ${asked}.`;
  if (compare(from, span.from + LATE_START * width) > 0)
    return `The window began at ${shown(from)} ${unit}, and ${asked}.`;
  if (compare(to - from, LONGEST_WINDOW * width) > 0)
    return `The window ran from ${shown(from)} to ${shown(to)} ${unit}, and ${asked}.`;
  return undefined;
}

function timeEntry({ from, to, unit, seconds, riseError }: Window, span: Span): Entry {
  const value = (seconds * (span.to - span.from)) / (to - from);
  return {
    name: 'buildUpTime',
    figure: figure(value, 's', (value * riseError) / (to - from)),
    formula: 'time × span ÷ rise of the lower needle',
    inputs: [
      { name: 'time', value: seconds, unit: 's' },
      { name: 'span from', value: span.from, unit },
      { name: 'span to', value: span.to, unit },
      { name: 'lower needle at the start', value: from, unit },
      { name: 'lower needle at the end', value: to, unit },
    ],
    error: `error of the rise, ${shown(riseError)} ${unit}, as a part of the rise`,
  };
}

function subjectOf({ from, to, unit, seconds }: Window, span: Span, value: Figure): Subject {
  return {
    figure: 'buildUpTime',
    label: 'The lower needle',
    value,
    told: (words) =>
      `rose from ${shown(from)} to ${shown(to)} ${unit} in ${shown(seconds)} s, ${words} for ${shown(span.from)} to ${shown(span.to)} ${unit}`,
  };
}

interface Requirement {
  readonly limits: readonly AppliedLimit[];
  readonly entries: readonly Entry[];
  readonly missing: readonly string[];
}

/** The limits of the build-up, with those that depend on reservoir volumes worked out where the rig's are known. */
function requirementOf(limits: TestLimits | undefined, rig: RigSettings): Requirement {
  const parts = (limits?.limits ?? []).map((limit) => oneRequirement(limit, rig));
  return {
    limits: parts.flatMap((part) => part.limits),
    entries: parts.flatMap((part) => part.entries),
    missing: parts.flatMap((part) => part.missing),
  };
}

function oneRequirement(limit: Limit, rig: RigSettings): Requirement {
  const seconds = limit.maxTimesCapacity;
  if (seconds === undefined) return { limits: [appliedTo(limit, 'buildUpTime')], entries: [], missing: [] };
  const actual = capacityOf(rig);
  const required = rig.requiredReservoirs;
  if (actual === undefined || required === undefined) {
    return {
      limits: [],
      entries: [],
      missing: [
        'The volume-corrected limit needs the volumes of all reservoirs and the required capacity in the rig settings.',
      ],
    };
  }
  const max = volumeCorrectedBuildUp(actual, required, seconds);
  const entry: Entry = {
    name: 'buildUpRequirement',
    figure: figure(max, 's', 0),
    formula: `actual reservoir capacity × ${seconds} s ÷ required capacity`,
    inputs: [
      { name: 'actual capacity', value: actual, unit: 'l' },
      { name: 'required capacity', value: required, unit: 'l' },
    ],
    error: 'rated volumes are taken as exact',
  };
  return { limits: [appliedTo({ ...limit, max }, 'buildUpTime')], entries: [entry], missing: [] };
}

/** Litres of supply and service reservoirs together; undefined unless each is known (a rig without a supply tank says 0). */
function capacityOf({ reservoirs }: RigSettings): number | undefined {
  const { supply, primary, secondary } = reservoirs ?? {};
  return supply === undefined || primary === undefined || secondary === undefined
    ? undefined
    : supply + primary + secondary;
}

/**
 * Free air delivered in the window, l/min: sum of reservoir volume × rise ÷ atmosphere ÷ time. The supply tank, which has no
 * gauge, is taken to rise as the lower needle does.
 */
function deliveredAir(
  window: Window,
  rig: RigSettings,
): { readonly entries: readonly Entry[]; readonly missing: readonly string[] } {
  const { supply, primary, secondary } = rig.reservoirs ?? {};
  if (supply === undefined || primary === undefined || secondary === undefined) {
    return { entries: [], missing: ['The delivered air needs the volumes of all reservoirs in the rig settings.'] };
  }
  const { start, end, unit, seconds, from, to, riseError } = window;
  const service = { primary, secondary };
  const perMinute = 60 / seconds;
  const flow =
    perMinute *
    (freeAir(supply, to - from, unit) +
      CIRCUITS.reduce((sum, circuit) => sum + freeAir(service[circuit], end[circuit] - start[circuit], unit), 0));
  const error = perMinute * freeAir(supply + primary + secondary, riseError, unit);
  const delivered: Entry = {
    name: 'deliveredFlow',
    figure: { ...figure(flow, 'l/min', error), also: { value: flow / LITRES_PER_CUBIC_FOOT, unit: 'cfm' } },
    formula: 'sum of reservoir volume × rise ÷ 101.325 kPa, ÷ time',
    inputs: [
      { name: 'supply reservoir', value: supply, unit: 'l' },
      { name: 'lower needle rise', value: to - from, unit },
      ...CIRCUITS.flatMap((circuit) => [
        { name: `${circuit} reservoir`, value: service[circuit], unit: 'l' },
        { name: `${circuit} rise`, value: end[circuit] - start[circuit], unit },
      ]),
      { name: 'time', value: seconds, unit: 's' },
    ],
    error: 'error of the rise, taken as common to all reservoirs',
  };
  const rated = rig.compressorDisplacement;
  if (rated === undefined) {
    return {
      entries: [delivered],
      missing: [
        'The share of the rated displacement needs the rated displacement of the compressor in the rig settings.',
      ],
    };
  }
  const share: Entry = {
    name: 'deliveredShare',
    figure: figure((100 * flow) / rated, '%', (100 * error) / rated),
    formula: 'delivered free air ÷ rated displacement × 100',
    inputs: [
      { name: 'delivered free air', value: flow, unit: 'l/min' },
      { name: 'rated displacement', value: rated, unit: 'l/min' },
    ],
    error: 'relative error of the delivered air',
  };
  return { entries: [delivered, share], missing: [] };
}
