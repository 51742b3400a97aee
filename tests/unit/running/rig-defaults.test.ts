import { describe, expect, it } from 'vitest';
import {
  departmentDueHours,
  dueAt,
  keepDepartmentDueHours,
  keepRigDefaults,
  rigDefaults,
} from '../../../src/running/rig-defaults.ts';
import { fromLitres, toLitres, volumeText } from '../../../src/units/volume.ts';

function smallStore(...stored: (readonly [string, unknown])[]) {
  const map = new Map<string, unknown>(stored);
  return { get: (name: string) => map.get(name), set: (name: string, value: unknown) => void map.set(name, value) };
}

describe('what a department sets for a rig', () => {
  it('is kept rig by rig', () => {
    const small = smallStore();
    keepRigDefaults(small, 'engine-31', { planId: 'morning-check', volumes: 'gal' });
    keepRigDefaults(small, 'tender-34', { profileId: 'nz', dueHours: 12 });
    expect(rigDefaults(small, 'engine-31')).toEqual({ planId: 'morning-check', volumes: 'gal' });
    expect(rigDefaults(small, 'tender-34')).toEqual({ profileId: 'nz', dueHours: 12 });
    expect(rigDefaults(small, 'ladder-36')).toEqual({});
  });

  it.each([[7], ['x'], [null], [{ 'engine-31': 5 }], [{ 'engine-31': { planId: 4, dueHours: 13, volumes: 'pint' } }]])(
    'is nothing where %j was stored',
    (stored) => {
      expect(rigDefaults(smallStore(['rig-defaults', stored]), 'engine-31')).toEqual({});
    },
  );

  it('is a check each day until it says otherwise, and never an interval that is none', () => {
    const small = smallStore(['due-hours', -1]);
    expect(departmentDueHours(small)).toBe(24);
    keepDepartmentDueHours(small, 12);
    keepDepartmentDueHours(small, Number.NaN);
    expect(departmentDueHours(small)).toBe(12);
  });
});

describe('the next check', () => {
  const local = (at: number): string => new Date(at).toString().slice(0, 21);
  it('by the day is due at the next midnight where the device is, also over a change of the clocks', () => {
    expect(local(dueAt('2026-03-07T23:30:00', 24))).toBe('Sun Mar 08 2026 00:00');
    expect(local(dueAt('2026-03-07T00:10:00', 48))).toBe('Mon Mar 09 2026 00:00');
    expect(local(dueAt('2026-10-24T07:00:00', 168))).toBe('Sat Oct 31 2026 00:00');
  });
  it('by the shift is due twelve hours later', () => {
    expect(local(dueAt('2026-05-04T19:00:00', 12))).toBe('Tue May 05 2026 07:00');
  });
});

describe('volumes', () => {
  it('are what the units are defined as: 231 cubic inches a US gallon, 3.785411784 L', () => {
    expect(toLitres(1, 'gal')).toBe(3.785411784);
    expect(fromLitres(toLitres(1, 'gal'), 'in³')).toBeCloseTo(231, 9);
  });
  it('are typed and read back the same', () => {
    for (const [value, unit] of [
      [1500, 'in³'],
      [12.5, 'gal'],
      [24.6, 'L'],
      [2310.5, 'in³'],
    ] as const)
      expect(volumeText(toLitres(value, unit), unit)).toBe(String(value));
    expect(volumeText(undefined, 'gal')).toBe('');
  });
});
