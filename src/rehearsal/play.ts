import type { Controls } from '../airsystem/controls.ts';
import { HANDS_OFF } from '../airsystem/controls.ts';
import type { Fault } from '../airsystem/fault.ts';
import { cueWords } from '../check/cue-words.ts';
import { cuesOf, isFitted } from '../check/needs.ts';
import type { Step } from '../check/plan.ts';
import type { CalloutRecord, CheckState, Progress, StepRecord } from '../check/state.ts';
import type { Ms } from '../units/time.ts';
import type { Cab, Hands } from './cab.ts';
import { NOT_CALLED } from './catch-up.ts';
import type { Finding, FindingKind } from './finding.ts';
import type { Sample } from './trace.ts';
import { sampleNear, samplesIn } from './trace.ts';

/** What was performed, as far as the coach looks at it. A `Rehearsal` is one. */
export interface Performance {
  readonly faults: readonly Fault[];
  readonly cab: Cab;
  readonly check: CheckState;
}

export interface Call {
  readonly record: CalloutRecord;
  /** Index of the step that it counts for. */
  readonly index: number;
}

/** One step of the rig's check as it was performed. */
export interface PlayedStep {
  readonly index: number;
  readonly step: Step;
  readonly calls: readonly Call[];
  /** Absent while the step lies ahead. */
  readonly record?: StepRecord;
  /** What was gathered; also of a step under way. */
  readonly progress: Progress;
  /** From the end of the step before to its own last callout. */
  readonly from: Ms;
  readonly to: Ms;
}

/** A performance with its callouts put to the steps they belong to. */
export interface Play extends Performance {
  readonly steps: readonly PlayedStep[];
}

const NOTHING: Progress = { cues: [], readings: [], announced: 0 };
/** How much of the needles' curve a finding shows before and after its moment. */
const CURVE_BEFORE: Ms = 10_000;
const CURVE_AFTER: Ms = 5_000;

export function playOf(performance: Performance): Play {
  const { check } = performance;
  const calls = check.callouts.map((record, callout): Call => ({ record, index: stepOf(check, record, callout) }));
  const steps: PlayedStep[] = [];
  for (const [index, step] of check.start.plan.steps.entries()) {
    if (!isFitted(step, check.start.rig)) continue;
    const own = calls.filter((call) => call.index === index);
    const record = check.records.find((candidate) => candidate.index === index);
    const from = steps.at(-1)?.to ?? 0;
    steps.push({
      index,
      step,
      calls: own,
      ...(record === undefined ? {} : { record }),
      progress: record?.progress ?? (index === check.index ? check.progress : NOTHING),
      from,
      to: Math.max(from, ...own.filter(({ record }) => isPartOf(step, record)).map(({ record }) => record.end)),
    });
  }
  return { ...performance, steps };
}

/** False for what the examiner put in, and for cues that belong elsewhere and were not taken here. */
function isPartOf(step: Step, { heard, taken, meaning }: CalloutRecord): boolean {
  if (heard === NOT_CALLED) return false;
  return (
    taken ||
    meaning === undefined ||
    meaning.cues.length === 0 ||
    meaning.cues.some((cue) => cuesOf(step).includes(cue))
  );
}

/**
 * The step that a callout counts for. One that settles a doubtful reading is noted under the step of that reading, but its own cue or
 * needles may belong to the next.
 */
function stepOf({ start, records, progress, index: now }: CheckState, record: CalloutRecord, callout: number): number {
  const { steps } = start.plan;
  const noted = steps.findIndex(({ id }) => id === record.step);
  const holds = (gathered: Progress): boolean => gathered.readings.some(({ callouts }) => callouts.includes(callout));
  if (record.meaning?.reading !== undefined) {
    return records.find((candidate) => holds(candidate.progress))?.index ?? (holds(progress) ? now : noted);
  }
  const cues = record.meaning?.cues ?? [];
  const fits = (step: Step): boolean => cues.some((cue) => cuesOf(step).includes(cue));
  const here = steps[noted];
  if (!record.taken || cues.length === 0 || here === undefined || fits(here)) return noted;
  const next = steps.findIndex((step, index) => index > noted && isFitted(step, start.rig) && fits(step));
  return next === -1 ? noted : next;
}

/** The samples from `from` to `to`, both included. */
export function curveOf({ trace }: Cab, from: Ms, to: Ms): readonly Sample[] {
  return samplesIn(trace, from, to);
}

/** The sample nearest to `at`. */
export function sampleAt({ trace }: Cab, at: Ms): Sample {
  return sampleNear(trace, at);
}

/** The controls in force at `at`. */
export function controlsAt({ hands }: Cab, at: Ms): Controls {
  return hands.findLast((hand) => hand.at <= at)?.controls ?? HANDS_OFF;
}

/** The controls in force at any time from `from` to `to`; the first as they were at `from`. */
export function handsIn(cab: Cab, from: Ms, to: Ms): readonly Hands[] {
  return [{ at: from, controls: controlsAt(cab, from) }, ...cab.hands.filter(({ at }) => at > from && at <= to)];
}

export function findingIn(play: Play, kind: FindingKind, { step }: PlayedStep, at: Ms, what: string): Finding {
  return { kind, step: step.id, at, what, curve: curveOf(play.cab, at - CURVE_BEFORE, at + CURVE_AFTER) };
}

/** When the rig moved in a brake test, by `to`: after what was seen or felt in the step before, whose last callout may still be due. */
export function movedIn(play: Play, played: PlayedStep, to: Ms): Ms | undefined {
  const before = play.steps[play.steps.indexOf(played) - 1]?.progress.outcome?.at;
  const from = Math.min(played.from, before ?? played.from);
  return play.cab.happened.find(({ kind, at }) => kind === 'rig-moved' && at >= from && at <= to)?.at;
}

/** The first step before this one that failed. */
export function failedBefore(play: Play, { index }: PlayedStep): PlayedStep | undefined {
  return play.steps.find((earlier) => earlier.index < index && earlier.record?.result.verdict === 'fail');
}

/** A time span for a sentence: "2.3 s". */
export function seconds(ms: Ms): string {
  return `${(Math.round(ms / 100) / 10).toString()} s`;
}

/** A cue as it is said. */
export function words(cue: string): string {
  return `“${cueWords(cue)}”`;
}
