import type { SpokenReading } from '../grammar/meaning.ts';
import { reachable, type CabHeld } from '../airsystem/reach.ts';
import type { TestId } from '../judging/measurement.ts';
import { pressureIn, type Pressure } from '../units/pressure.ts';
import type { EngineId } from '../units/engine.ts';
import type { Ms } from '../units/time.ts';
import { lostAir } from './air-lost.ts';
import type { AskReason } from './answer.ts';
import { isAdverse } from './cab.ts';
import type { CalloutEvent } from './event.ts';
import { judgeStep } from './measure.ts';
import { readingsComplete } from './needs.ts';
import type { Step } from './plan.ts';
import { cutOutOf, SAME_CUT_OUT_PSI } from './strays.ts';
import { changedProgress, type CalledReading, type CheckState, type Progress } from './state.ts';

/**
 * A reading heard with less confidence than this is asked about. The engines' scores are not comparable, and neither tells a wrong number
 * from a right one; what is asked for other reasons does not depend on them. Of 571 readings, a diesel 10 dB below, heard by our model at two
 * paces, 12 % were asked with this and 5 taken wrongly (`tests/bench/README.md`, hearing).
 */
const ASK_BELOW: Readonly<Record<EngineId, number>> = { embedded: 0.3, vosk: 0.85 };

/**
 * Needles further apart than this, psi, are asked about unless the ear has no doubt: one circuit that leaks parts them, and so does one number
 * heard wrongly. Of 25 readings of 582 at 0 dB that were taken wrongly it asks about seven. Ours, no source.
 */
const NEAR_PSI = 10;
const NO_DOUBT: Readonly<Record<EngineId, number>> = { embedded: 0.3, vosk: 0.995 };

/** The whole scale of a dial; a step may narrow it (`Step.plausible`). */
const DIAL = { min: { value: 0, unit: 'psi' }, max: { value: 160, unit: 'psi' } } as const;

/** How far a needle may seem to move the wrong way: two dials read to the nearest mark and a little parallax, in psi. */
const WRONG_WAY_PSI = 5;

/** Which way the needles cannot have moved since the step before. */
const CANNOT: Readonly<Partial<Record<TestId, 'rise' | 'fall'>>> = {
  'governor-cut-out': 'fall',
  'governor-cut-in': 'rise',
  'static-leakage': 'rise',
  'applied-leakage': 'rise',
  'low-air-warning': 'rise',
  'spring-brake-activation': 'rise',
};

const CIRCUITS = ['primary', 'secondary'] as const;

/**
 * Where a second engine heard the same sound, whether both agree says more than the confidence of either. `reading`: the needles as they come
 * to with this callout, when some were called in others.
 */
export function isLowConfidence(
  { source, confidence, engine = 'embedded', agreed, meaning }: CalloutEvent,
  reading: SpokenReading | undefined = meaning?.reading,
): boolean {
  if (source !== 'voice') return false;
  if (!(agreed ?? confidence >= ASK_BELOW[engine])) return true;
  return areApart(reading) && confidence < NO_DOUBT[engine];
}

function areApart({ primary, secondary }: SpokenReading = {}): boolean {
  return primary !== undefined && secondary !== undefined && Math.abs(psi(primary) - psi(secondary)) > NEAR_PSI;
}

/** True for needles that the dial cannot show, or that cannot have moved so since the reading before. */
function isImplausible(state: CheckState, index: number, progress: Progress, reading: CalledReading): boolean {
  const step = state.start.plan.steps[index];
  if (step === undefined) return false;
  const range = step.plausible ?? DIAL;
  for (const circuit of CIRCUITS) {
    const pressure = reading[circuit];
    if (pressure === undefined) continue;
    const { value, unit } = pressure;
    if (value < pressureIn(range.min, unit) || value > pressureIn(range.max, unit)) return true;
  }
  if (tooFast(state, reading)) return true;
  if (!canFollow(state, index, reading) || contradictsEarlier(state, index, reading)) return true;
  if (index === state.index && lostAir(state, step, reading)) return true;
  const [first] = progress.readings;
  if (step.kind === 'hold' && first !== undefined && first !== reading) return movedWrongWay(first, reading, 'rise');
  if (step.kind === 'build') {
    return progress.readings.some((call) => movedWrongWay(call, reading, 'fall'));
  }
  const way = CANNOT[step.test];
  const shown = step.test === 'governor-cut-in' ? shownInStep(state, index, reading) : undefined;
  const before = shown ?? readingBefore(state, index);
  return way !== undefined && before !== undefined && movedWrongWay(before, reading, way);
}

/** Faster than any compressor with the shore line besides, and than any pedal; psi a second. Ours, no source: real rigs are ten times slower. */
const FASTEST = { rise: 15, fall: 20 };

/** True for needles that were called so soon after others that nothing can have moved them so far. */
function tooFast({ needles, progress }: CheckState, reading: CalledReading): boolean {
  if (needles === undefined || progress.readings.includes(needles) || reading.start < needles.end) return false;
  const seconds = (reading.start - needles.end) / 1000;
  return CIRCUITS.some((circuit) => {
    const [from, to] = [needles[circuit], reading[circuit]];
    if (from === undefined || to === undefined) return false;
    const rise = psi(to) - psi(from);
    return rise > WRONG_WAY_PSI + FASTEST.rise * seconds || -rise > WRONG_WAY_PSI + FASTEST.fall * seconds;
  });
}

/** What the needles of a running hold are under: the conditions that it was begun with. */
function cabInHold(step: Step): CabHeld {
  return { engine: 'off', pedal: step.test === 'applied-leakage' ? 'applied' : 'free', parking: 'released' };
}

/**
 * False when the air system cannot have moved the needles so from the last ones that were taken. In a hold, at its first needles and in a
 * build window neither rise nor fall may be faster than it can be; elsewhere only a rise with the engine off is looked at, since nobody
 * times how fast a rig is filled or fanned down.
 */
function canFollow(state: CheckState, index: number, reading: CalledReading): boolean {
  const { needles, start, progress } = state;
  const step = start.plan.steps[index];
  if (step === undefined || index !== state.index) return true;
  if (needles?.primary === undefined || needles.secondary === undefined || reading.start <= needles.end) return true;
  const isTimed = progress.readings.includes(needles);
  const inHold = step.kind === 'hold' && isTimed;
  const inWindow = step.kind === 'build' && isTimed;
  // Nobody fans the pedal before a hold, so that its first needles cannot have fallen far in no time.
  const opens = step.kind === 'hold' && !isTimed;
  const engine = engineSince(state, needles.end);
  if (!inHold && !inWindow && !opens && engine !== 'off') return true;
  // A window counts with the foot off the brake, which is its condition.
  const pedal = opens ? 'applied' : inWindow ? 'free' : 'unknown';
  const held: CabHeld = inHold ? cabInHold(step) : { engine, pedal, parking: 'unknown' };
  const { likely } = reachable(
    start.rig,
    { primary: psi(needles.primary), secondary: psi(needles.secondary) },
    held,
    (reading.start - needles.end) / 1000,
  );
  return CIRCUITS.every((circuit) => {
    const pressure = reading[circuit];
    if (pressure === undefined) return true;
    const value = psi(pressure);
    // A rise within a hold is looked at below, with a little parallax allowed.
    return (inHold || value <= likely[circuit].max) && (value >= likely[circuit].min || !(inHold || inWindow || opens));
  });
}

/** The engine since a moment, as far as it was called before and nothing else since. */
function engineSince({ cab }: CheckState, moment: Ms): CabHeld['engine'] {
  const { engine, 'fast idle': fastIdle } = cab;
  if (engine === undefined || engine.stale === true || engine.at > moment) return 'unknown';
  if (engine.is === 'off') return 'off';
  return fastIdle?.is === 'off' ? 'running' : 'fast-idle';
}

/** Governors let pressure fall by some 15 to 25 psi before they cut in; common practice, no source. */
const LEAST_DIFFERENTIAL_PSI = 5;

/** True for a fill that ends elsewhere than the governor cut out, for a cut-in at or hardly below the cut-out of this check, and for spring brakes that came on above the warning. */
function contradictsEarlier({ records, start }: CheckState, index: number, reading: CalledReading): boolean {
  const step = start.plan.steps[index];
  const test = step?.test;
  const cutOut = step?.kind === 'build' ? cutOutOf({ records, start }) : undefined;
  if (cutOut !== undefined && isAbove(reading, cutOut)) return true;
  const isFill = test === 'plain-reading' && step?.outcomes?.includes('cut-out') === true;
  const of = isFill
    ? 'governor-cut-out'
    : test === 'governor-cut-in'
      ? 'governor-cut-out'
      : test === 'spring-brake-activation'
        ? 'low-air-warning'
        : undefined;
  const record = records.findLast((each) => each.outcome === 'judged' && start.plan.steps[each.index]?.test === of);
  const before = record?.progress.readings.at(-1);
  if (before === undefined || isAdverse(record?.progress.outcome?.cue)) return false;
  if (isFill)
    return CIRCUITS.some((circuit) => {
      const [first, again] = [before[circuit], reading[circuit]];
      if (first === undefined || again === undefined) return false;
      return (
        Math.abs(psi(first) - psi(again)) > SAME_CUT_OUT_PSI || (isBeyond(again, start) && !isBeyond(first, start))
      );
    });
  if (of === 'governor-cut-out')
    return CIRCUITS.some((circuit) => {
      const [out, into] = [before[circuit], reading[circuit]];
      return out !== undefined && into !== undefined && psi(out) - psi(into) < LEAST_DIFFERENTIAL_PSI;
    });
  const lowest = ({ primary, secondary }: CalledReading): number =>
    Math.min(...[primary, secondary].flatMap((pressure) => (pressure === undefined ? [] : [psi(pressure)])));
  return lowest(reading) > lowest(before);
}

/** True for a cut-out above the limit of the profile: the governor of a fill is the one that was tested. */
function isBeyond(pressure: Pressure, { profile }: CheckState['start']): boolean {
  const limits = profile.tests.find(({ test }) => test === 'governor-cut-out')?.limits ?? [];
  return limits.some(
    ({ figure, max, unit }) =>
      figure === 'cutOut' &&
      max !== undefined &&
      (unit === 'psi' || unit === 'kPa') &&
      pressureIn(pressure, unit) > max,
  );
}

function isAbove(reading: CalledReading, cutOut: SpokenReading): boolean {
  return CIRCUITS.some((circuit) => {
    const [is, was] = [reading[circuit], cutOut[circuit]];
    return is !== undefined && was !== undefined && psi(is) > psi(was) + SAME_CUT_OUT_PSI;
  });
}

/** The last reading of the step before, unless that step was left out: then anything may have happened in between. */
function readingBefore(state: CheckState, index: number): CalledReading | undefined {
  const record = state.records.findLast((candidate) => candidate.index < index && candidate.outcome !== 'passed-over');
  return record?.outcome === 'judged' ? record.progress.readings.at(-1) : undefined;
}

/** Needles that were called in this step before its moment: where they stood without rising, the governor did not cut in. */
function shownInStep(
  { needles, index: now, progress }: CheckState,
  index: number,
  reading: CalledReading,
): CalledReading | undefined {
  if (needles === undefined || index !== now || progress.readings.includes(needles)) return undefined;
  return needles.end > (progress.from ?? Infinity) && needles.end <= reading.start ? needles : undefined;
}

function movedWrongWay(before: CalledReading, after: CalledReading, way: 'rise' | 'fall'): boolean {
  return CIRCUITS.some((circuit) => {
    const from = before[circuit];
    const to = after[circuit];
    if (from === undefined || to === undefined) return false;
    const rise = psi(to) - psi(from);
    return (way === 'rise' ? rise : -rise) > WRONG_WAY_PSI;
  });
}

function psi(pressure: Pressure): number {
  return pressureIn(pressure, 'psi');
}

/** True when the step at `index`, were its readings those of `progress`, would fail. */
export function wouldFail(state: CheckState, index: number, progress: Progress): boolean {
  const step = state.start.plan.steps[index];
  if (step === undefined) return false;
  if (!readingsComplete(step, progress)) return false;
  // Before its moment is called, a reading of an event step is not yet a measurement.
  if (step.kind === 'event' && progress.outcome === undefined) return false;
  // On the cab as it will be judged, so that the same measurement is judged once.
  const cab = progress.cab ?? (index === state.index ? state.cab : undefined);
  const judged = cab === progress.cab ? progress : changedProgress(progress, { cab });
  return judgeStep(index, judged, state.start, state.records).verdict === 'fail';
}

/** Why a reading has to be asked about, when it has; `progress` is the step's with the reading in its place. */
export function doubtAbout(
  state: CheckState,
  index: number,
  progress: Progress,
  reading: CalledReading,
  lowConfidence: boolean,
): AskReason | undefined {
  if (lowConfidence) return 'low-confidence';
  if (isImplausible(state, index, progress, reading)) return 'implausible';
  return wouldFail(state, index, progress) ? 'would-fail' : undefined;
}
