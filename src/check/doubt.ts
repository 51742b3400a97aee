import type { TestId } from '../judging/measurement.ts';
import { pressureIn, type Pressure } from '../units/pressure.ts';
import type { AskReason } from './answer.ts';
import type { CalloutEvent } from './event.ts';
import { judgeStep } from './measure.ts';
import { readingsComplete } from './needs.ts';
import type { CalledReading, CheckState, Progress } from './state.ts';

/**
 * A reading heard with less confidence than this is asked about. The engines' scores are not comparable, and neither
 * tells a wrong number from a right one; what is asked for other reasons does not depend on them.
 */
const ASK_BELOW: Readonly<Record<'embedded' | 'vosk', number>> = { embedded: 0.3, vosk: 0.5 };

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

export function isLowConfidence({ source, confidence, engine }: CalloutEvent): boolean {
  return source === 'voice' && confidence < ASK_BELOW[engine ?? 'embedded'];
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
  const [first] = progress.readings;
  if (step.kind === 'hold' && first !== undefined && first !== reading) return movedWrongWay(first, reading, 'rise');
  if (step.kind === 'build') {
    return progress.readings.some((call) => call.start < reading.start && movedWrongWay(call, reading, 'fall'));
  }
  const way = CANNOT[step.test];
  const before = readingBefore(state, index);
  return way !== undefined && before !== undefined && movedWrongWay(before, reading, way);
}

/** The last reading of the step before, unless that step was left out: then anything may have happened in between. */
function readingBefore(state: CheckState, index: number): CalledReading | undefined {
  const record = state.records.findLast((candidate) => candidate.index < index && candidate.outcome !== 'passed-over');
  return record?.outcome === 'judged' ? record.progress.readings.at(-1) : undefined;
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
  if (step === undefined || !readingsComplete(step, progress)) return false;
  // Before its moment is called, a reading of an event step is not yet a measurement.
  if (step.kind === 'event' && progress.outcome === undefined) return false;
  return judgeStep(index, progress, state.start, state.records).verdict === 'fail';
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
