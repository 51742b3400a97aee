import { describe, expect, it } from 'vitest';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { judge } from '../../../src/judging/judge.ts';
import type { TestId } from '../../../src/judging/measurement.ts';
import type { LimitProfile } from '../../../src/judging/profile.ts';
import type { StepResult } from '../../../src/judging/result.ts';

/** Common practice of the fire service, no source: the warning comes at 55 to 75 psi, the parking valve pops at 20 to 45 psi. */
const PRACTICE = BUILT_IN_PROFILES.find(({ id }) => id === 'fire-practice')!;
const RIG = { id: 'engine-31', name: 'Engine 31', unit: 'psi' } as const;

function called(test: TestId, cue: string, primary: number, secondary: number, profile = PRACTICE): StepResult {
  const psi = (value: number) => ({ value, unit: 'psi' }) as const;
  const reading = { primary: psi(primary), secondary: psi(secondary), start: 0, end: 1000 };
  return judge({ test, readings: [reading], observed: cue }, profile, RIG);
}

describe('what never comes', () => {
  it('fails the low-air warning once the lower needle is below the lowest pressure at which it may come', () => {
    const result = called('low-air-warning', 'no-warning', 58, 54);
    expect(result.verdict).toBe('fail');
    expect(result.reason).toContain('did not come with the lower needle at 54 psi');
    expect(result.reason).toContain('limit 55 to 75 psi (common practice)');
    expect(result.limits[0]?.source.sure).toBe('practice');
  });

  it('decides nothing while the warning may still come, and never passes', () => {
    for (const lower of [55, 56, 60, 74, 110]) {
      const result = called('low-air-warning', 'no-warning', lower, lower + 1);
      expect(result.verdict).toBe('not judged');
      expect(result.reason).toContain('Go on further down');
    }
  });

  it('fails the parking valve only when both needles are below its lowest pressure', () => {
    expect(called('spring-brake-activation', 'valve-stayed-in', 19, 12).verdict).toBe('fail');
    expect(called('spring-brake-activation', 'valve-stayed-in', 24, 12).verdict).toBe('not judged');
  });

  it('is not judged where the profile sets no lowest pressure', () => {
    const open: LimitProfile = { ...PRACTICE, tests: PRACTICE.tests.filter(({ test }) => test !== 'low-air-warning') };
    const result = called('low-air-warning', 'no-warning', 5, 5, open);
    expect(result.verdict).toBe('not judged');
    expect(result.reason).toContain('no lowest pressure');
  });

  it('leaves a warning that came judged as before', () => {
    expect(called('low-air-warning', 'buzzer', 66, 68).verdict).toBe('pass');
    expect(called('low-air-warning', 'buzzer', 50, 52).verdict).toBe('fail');
  });
});
