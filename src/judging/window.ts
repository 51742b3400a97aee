import type { PressureUnit } from '../units/pressure.ts';
import type { TimedReading } from './measurement.ts';
import { lowerCircuit, needlesOf } from './readings.ts';
import type { Needles } from './readings.ts';
import type { RigSettings } from './result.ts';
import { combine, COVERAGE, readingUncertainty } from './uncertainty.ts';

/** The lower needle over the window: "both gauges" have reached a pressure when the lower one has. */
export interface Window {
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

/** The window between two readings that call both needles. */
export function windowOf(first: TimedReading, second: TimedReading, rig: RigSettings): Window | undefined {
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
