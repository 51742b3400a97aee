import type { TimedReading } from '../judging/measurement.ts';
import { pressureIn, type Pressure } from '../units/pressure.ts';
import type { Step } from './plan.ts';

export interface BuildWindow {
  /** The needles when the window began and ended; `start` of each is the onset of the callout that completed it. */
  readonly lower?: TimedReading;
  readonly upper?: TimedReading;
}

/**
 * The window of a build-up, from the needles as they were called. It begins at the onset of the callout that puts
 * *both* needles at `from`, and ends at the onset of the one that puts both at `to`. A circuit called alone keeps its
 * value until it is called again. Needles already both at `to` begin no window, and no step but a build has one.
 */
export function buildWindow(step: Step | undefined, calls: readonly TimedReading[]): BuildWindow {
  if (step?.from === undefined || step.to === undefined) return {};
  const { from, to } = step;
  let primary: Pressure | undefined;
  let secondary: Pressure | undefined;
  let lower: TimedReading | undefined;
  for (const call of calls) {
    primary = call.primary ?? primary;
    secondary = call.secondary ?? secondary;
    if (primary === undefined || secondary === undefined) continue;
    const needles = { primary, secondary, start: call.start, end: call.end };
    if (bothReach(needles, to)) {
      if (lower !== undefined) return { lower, upper: needles };
    } else if (lower === undefined && bothReach(needles, from)) lower = needles;
  }
  return lower === undefined ? {} : { lower };
}

/** Marks of a kPa dial, to the nearest of which a pressure of a document in psi is called: 585 kPa is 85 psi. Ours, no source. */
const MARK_KPA = 5;

function bothReach({ primary, secondary }: { primary: Pressure; secondary: Pressure }, mark: Pressure): boolean {
  return [primary, secondary].every(({ value, unit }) => value >= calledAs(mark, unit));
}

function calledAs(mark: Pressure, unit: Pressure['unit']): number {
  const exact = pressureIn(mark, unit);
  return unit === 'kPa' && mark.unit === 'psi' ? Math.min(exact, MARK_KPA * Math.round(exact / MARK_KPA)) : exact;
}
