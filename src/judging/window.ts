import type { PressureUnit } from '../units/pressure.ts';
import { lowerCircuit } from './readings.ts';
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

/** The window from the onset of one callout to the onset of another. */
export function windowOf(start: Needles, end: Needles, rig: RigSettings): Window {
  const low = lowerCircuit(start);
  const high = lowerCircuit(end);
  const { unit } = start;
  return {
    start,
    end,
    from: start[low],
    to: end[high],
    unit,
    seconds: (end.start - start.start) / 1000,
    riseError: COVERAGE * combine(readingUncertainty(rig, low, unit), readingUncertainty(rig, high, unit)),
  };
}
