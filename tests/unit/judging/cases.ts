import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { judge } from '../../../src/judging/judge.ts';
import type { Measurement, TestId, TimedReading } from '../../../src/judging/measurement.ts';
import type { LimitProfile } from '../../../src/judging/profile.ts';
import type { RigSettings, StepResult } from '../../../src/judging/result.ts';
import type { PressureUnit } from '../../../src/units/pressure.ts';

/** Both needles called at once: words from `start` to `end`, in seconds. */
export function reading(
  primary: number,
  secondary: number,
  start = 0,
  end = start + 2,
  unit: PressureUnit = 'psi',
): TimedReading {
  return {
    primary: { value: primary, unit },
    secondary: { value: secondary, unit },
    start: start * 1000,
    end: end * 1000,
  };
}

/** Two readings whose hold lasts `seconds`. */
export function hold(
  before: readonly [number, number],
  after: readonly [number, number],
  seconds: number,
  unit: PressureUnit = 'psi',
): readonly TimedReading[] {
  return [reading(...before, 10, 12, unit), reading(...after, 12 + seconds, 14 + seconds, unit)];
}

/** Two readings whose onsets lie `seconds` apart. */
export function rise(
  before: readonly [number, number],
  after: readonly [number, number],
  seconds: number,
  unit: PressureUnit = 'psi',
): readonly TimedReading[] {
  return [reading(...before, 10, 12, unit), reading(...after, 10 + seconds, 13 + seconds, unit)];
}

export const ENGINE_31: RigSettings = { id: 'engine-31', name: 'Engine 31', unit: 'psi' };

export function profileOf(id: string): LimitProfile {
  const found = BUILT_IN_PROFILES.find((profile) => profile.id === id);
  if (found === undefined) throw new Error(`no profile ${id}`);
  return found;
}

export function judged(
  id: string,
  test: TestId,
  readings: readonly TimedReading[],
  more: Partial<Measurement> = {},
  rig: RigSettings = ENGINE_31,
): StepResult {
  return judge({ test, readings, ...more }, profileOf(id), rig);
}
