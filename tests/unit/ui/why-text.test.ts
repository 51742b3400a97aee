import { describe, expect, it } from 'vitest';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { judge } from '../../../src/judging/judge.ts';
import type { RigSettings } from '../../../src/judging/result.ts';
import { boundsText, withNumbers } from '../../../src/ui/shared/why-text.ts';
import { rigGaps } from '../../../src/ui/start/rig-gaps.ts';

describe('the answer to “why?”', () => {
  it('puts the numbers into the formula where each has its place', () => {
    const rate = [
      { name: 'primary drop', value: 2, unit: 'psi' },
      { name: 'interval', value: 61.24, unit: 's' },
    ];
    expect(withNumbers({ formula: 'drop × 60 s ÷ interval', inputs: rate })).toBe('2 psi × 60 s ÷ 61.2 s');
    const drop = [
      { name: 'secondary, first reading', value: 118, unit: 'psi' },
      { name: 'secondary, second reading', value: 117, unit: 'psi' },
    ];
    expect(withNumbers({ formula: 'first reading − second reading', inputs: drop })).toBe('118 psi − 117 psi');
  });

  it('leaves the numbers to a list where two of them share a place', () => {
    const inputs = [
      { name: 'primary reservoir', value: 30, unit: 'l' },
      { name: 'secondary reservoir', value: 31, unit: 'l' },
    ];
    expect(withNumbers({ formula: 'sum of reservoir volume × rise', inputs })).toBeUndefined();
    expect(withNumbers({ formula: 'as called', inputs: [] })).toBeUndefined();
  });

  it('says of a limit on which side its own value is', () => {
    const source = { document: 'D', sure: 'seen' } as const;
    expect(boundsText({ figure: 'primaryRate', max: 2, strict: true, unit: 'psi/min', source })).toBe(
      'less than 2 psi/min',
    );
    expect(boundsText({ figure: 'activationAt', min: 20, max: 45, about: true, unit: 'psi', source })).toBe(
      'about: at least 20 psi and at most 45 psi',
    );
  });
});

describe('what the form of a rig says cannot be computed', () => {
  const rig: RigSettings = { id: 'engine-31', name: 'Engine 31', unit: 'psi' };
  const full: RigSettings = {
    ...rig,
    reservoirs: { supply: 20, primary: 30, secondary: 30 },
    requiredReservoirs: 60,
    compressorDisplacement: 400,
  };

  it('is what the engine then cannot compute', () => {
    const profile = BUILT_IN_PROFILES.find(({ id }) => id === 'us-fmvss-121');
    if (profile === undefined) throw new Error('no profile');
    const at = (value: number, start: number) => ({
      primary: { value, unit: 'psi' as const },
      secondary: { value, unit: 'psi' as const },
      start,
      end: start + 2000,
    });
    const missing = (settings: RigSettings): number =>
      [
        { test: 'static-leakage' as const, readings: [at(118, 0), at(117, 62_000)] },
        { test: 'build-up' as const, readings: [at(85, 0), at(100, 40_000)] },
      ].flatMap((measured) => judge(measured, profile, settings).missing ?? []).length;
    expect(rigGaps(full)).toEqual([]);
    expect(missing(full)).toBe(0);
    expect(rigGaps(rig)).toHaveLength(4);
    expect(missing(rig)).toBeGreaterThan(0);
    expect(rigGaps({ ...full, compressorDisplacement: undefined } as unknown as RigSettings)).toHaveLength(1);
  });
});
