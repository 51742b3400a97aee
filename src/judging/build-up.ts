import { pressureIn } from '../units/pressure.ts';
import type { PressureUnit } from '../units/pressure.ts';
import { assess, worst } from './assess.ts';
import type { Subject } from './assess.ts';
import { compare } from './compare.ts';
import { deliveredAir } from './delivered-air.ts';
import { ENGINE_SPEEDS } from './measurement.ts';
import type { EngineSpeed, Measurement } from './measurement.ts';
import type { SpanEnd, TestLimits } from './profile.ts';
import { earlierNeedles, lowerCircuit, pairOf } from './readings.ts';
import { requirementOf } from './required-time.ts';
import type { Figure, RigSettings, StepResult } from './result.ts';
import type { Entry, Sheet } from './sheet.ts';
import { EMPTY_SHEET, figure, judgedBy, notJudged } from './sheet.ts';
import { windowOf } from './window.ts';
import type { Window } from './window.ts';
import { shown } from './wording.ts';

/**
 * How far into the span a window may begin, as a part of the span: a needle called at 86 psi still times 85 to 100,
 * one called at 90 does not. A convention of ours.
 */
const LATE_START = 0.2;

/** A window longer than this many spans averages over too different pressures to stand for the span. */
const LONGEST_WINDOW = 2;

const SPEED_WORDS: Readonly<Record<EngineSpeed, string>> = {
  idle: 'idle',
  operating: 'operating speed',
  governed: 'governed speed',
};

interface Span {
  readonly from: number;
  readonly to: number;
}

/**
 * Build-up: the time in which the lower needle rises over the profile's span, from a window that (nearly) covers it:
 * time × span ÷ rise. With reservoir volumes known, also the free air that the compressor delivered.
 */
export function judgeBuildUp(measurement: Measurement, limits: TestLimits | undefined, rig: RigSettings): StepResult {
  const called = pairOf(measurement.readings);
  if (typeof called === 'string') return notJudged(called);
  const window = windowOf(...called, rig);
  if (compare(window.seconds, 0) <= 0) {
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
  const wrongSpeed = speedFault(limits.engineSpeed, measurement.engineSpeed ?? 'operating', decided.verdict === 'fail');
  return wrongSpeed === undefined ? judgedBy(decided, sheet) : notJudged(wrongSpeed, sheet);
}

/**
 * Why a build-up at the speed that it `ran` says nothing of a limit for another; undefined when it does. The faster the
 * engine, the shorter the time: a slower engine that is inside the limit passes, a faster one that is outside it fails.
 */
function speedFault(asked: EngineSpeed | undefined, ran: EngineSpeed, isOutside: boolean): string | undefined {
  if (asked === undefined || asked === ran) return undefined;
  const isFaster = ENGINE_SPEEDS.indexOf(ran) > ENGINE_SPEEDS.indexOf(asked);
  if (isFaster === isOutside) return undefined;
  return `The limit is for a build-up at ${SPEED_WORDS[asked]}, and this one was at ${SPEED_WORDS[ran]}; repeat it at ${SPEED_WORDS[asked]}.`;
}

function spanOf(
  { from, to }: { readonly from: SpanEnd; readonly to: SpanEnd },
  measurement: Measurement,
  unit: PressureUnit,
): Span | string {
  const endOf = (end: SpanEnd): number | string => {
    if ('value' in end) return pressureIn(end, unit);
    const needles = earlierNeedles(measurement, end.of);
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
      from === span.from && to === span.to
        ? `rose from ${shown(from)} to ${shown(to)} ${unit} in ${words}`
        : `rose from ${shown(from)} to ${shown(to)} ${unit} in ${shown(seconds)} s, which is ${words} for the limit’s ${shown(span.from)} to ${shown(span.to)} ${unit}`,
  };
}
