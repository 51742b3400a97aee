import { describe, expect, it } from 'vitest';
import type { TestId, TimedReading } from '../../../src/judging/measurement.ts';
import { hold, judged, reading, rise } from './cases.ts';

const psi = (value: number): { value: number; unit: 'psi' } => ({ value, unit: 'psi' });
const ONLY_PRIMARY: TimedReading = { primary: psi(120), start: 0, end: 2000 };
const ONLY_SECONDARY: TimedReading = { secondary: psi(120), start: 90_000, end: 92_000 };
const MIXED: TimedReading = { primary: psi(120), secondary: { value: 830, unit: 'kPa' }, start: 0, end: 2000 };

interface Case {
  readonly what: string;
  readonly test: TestId;
  readonly readings: readonly TimedReading[];
  readonly reason: string;
}

const CASES: readonly Case[] = [
  { what: 'no reading', test: 'governor-cut-out', readings: [], reason: 'No reading was called.' },
  { what: 'no readings', test: 'static-leakage', readings: [], reason: 'No reading was called; two are needed.' },
  {
    what: 'a hold without its second reading',
    test: 'static-leakage',
    readings: [reading(120, 120)],
    reason: 'Only one reading was called; two are needed.',
  },
  {
    what: 'a window without its end',
    test: 'build-up',
    readings: [reading(85, 85)],
    reason: 'Only one reading was called; two are needed.',
  },
  {
    what: 'the primary alone',
    test: 'low-air-warning',
    readings: [ONLY_PRIMARY],
    reason: 'The secondary needle was not called, and each circuit is judged alone.',
  },
  {
    what: 'the secondary alone at the end of a hold',
    test: 'applied-leakage',
    readings: [reading(120, 120), ONLY_SECONDARY],
    reason: 'The primary needle was not called, and each circuit is judged alone.',
  },
  {
    what: 'one needle at the end of a window',
    test: 'build-up',
    readings: [reading(85, 85), ONLY_SECONDARY],
    reason: 'The primary needle was not called, and each circuit is judged alone.',
  },
  {
    what: 'a negative pressure',
    test: 'governor-cut-out',
    readings: [reading(120, -1)],
    reason: 'A secondary pressure of -1 psi is not possible on a rig.',
  },
  {
    what: 'an absurd pressure',
    test: 'governor-cut-out',
    readings: [reading(160.5, 120)],
    reason: 'A primary pressure of 160.5 psi is not possible on a rig.',
  },
  {
    what: 'an absurd pressure in kPa',
    test: 'governor-cut-out',
    readings: [reading(1104, 800, 0, 2, 'kPa')],
    reason: 'A primary pressure of 1104 kPa is not possible on a rig.',
  },
  {
    what: 'a pressure that is not a number',
    test: 'pre-start-fill',
    readings: [reading(NaN, 75)],
    reason: 'A primary pressure of NaN psi is not possible on a rig.',
  },
  {
    what: 'an infinite pressure',
    test: 'build-up',
    readings: rise([85, 85], [100, Infinity], 30),
    reason: 'A secondary pressure of Infinity psi is not possible on a rig.',
  },
  {
    what: 'two units in one reading',
    test: 'spring-brake-activation',
    readings: [MIXED],
    reason: 'The readings mix psi and kPa; call all of a test in one unit.',
  },
  {
    what: 'two units in a hold',
    test: 'static-leakage',
    readings: [reading(120, 120, 0, 2), reading(827, 827, 70, 72, 'kPa')],
    reason: 'The readings mix psi and kPa; call all of a test in one unit.',
  },
  {
    what: 'equal times',
    test: 'static-leakage',
    readings: [reading(120, 120, 0, 2), reading(110, 110, 2, 4)],
    reason: 'The second reading does not come after the first; there is no hold to judge.',
  },
  {
    what: 'a second reading before the first',
    test: 'static-leakage',
    readings: [reading(120, 120, 80, 82), reading(110, 110, 2, 4)],
    reason: 'The second reading does not come after the first; there is no hold to judge.',
  },
  {
    what: 'a time that is not a number',
    test: 'static-leakage',
    readings: [reading(120, 120, 0, NaN), reading(110, 110, 62, 64)],
    reason: 'The time of a reading is not known.',
  },
  {
    what: 'an infinite onset',
    test: 'build-up',
    readings: [reading(85, 85, 0, 2), reading(100, 100, Infinity, 64)],
    reason: 'The time of a reading is not known.',
  },
  {
    what: 'a window of no length',
    test: 'build-up',
    readings: rise([85, 85], [100, 100], 0),
    reason: 'The upper pressure was not called after the lower one; there is no time to judge.',
  },
  {
    what: 'a window that falls',
    test: 'build-up',
    readings: rise([85, 85], [80, 100], 30),
    reason: 'The lower needle did not rise: 85 to 80 psi in 30 s.',
  },
  {
    what: 'a window that stands still',
    test: 'build-up',
    readings: rise([100, 85], [100, 85], 30),
    reason: 'The lower needle did not rise: 85 to 85 psi in 30 s.',
  },
  {
    what: 'a lower needle that never reaches the upper pressure',
    test: 'build-up',
    readings: rise([85, 85], [104, 99.5], 30),
    reason: 'The lower needle reached 99.5 psi, and the limit is for 85 to 100 psi.',
  },
  {
    what: 'a hold of 5 s',
    test: 'static-leakage',
    readings: hold([120, 120], [120, 120], 5),
    reason: 'The hold lasted 5 s and must last 60 s; repeat it.',
  },
  {
    what: 'a hold of more than 15 min',
    test: 'static-leakage',
    readings: hold([120, 120], [119, 119], 901),
    reason: 'The hold lasted 901 s, and needles count up to 900 s after its start; repeat it with 60 s.',
  },
  {
    what: 'a rise during a hold',
    test: 'static-leakage',
    readings: hold([120, 120], [120, 122], 60),
    reason:
      'pressure rose: secondary by 2 psi in 60 s, more than the reading error of 0.8 psi; repeat the hold with the engine off.',
  },
  { what: 'nothing observed', test: 'tug-test', readings: [], reason: 'Nothing was called of what was seen or felt.' },
];

describe('bad input is not judged, and says why', () => {
  it.each(CASES)('$what', ({ test, readings, reason }) => {
    const result = judged('fire-practice', test, readings);
    expect(result.verdict).toBe('not judged');
    expect(result.reason).toBe(reason);
    expect(result.noLimit).toBeUndefined();
    expect(JSON.stringify(result.figures)).not.toContain('null');
  });

  it('an observation that belongs to another test', () => {
    const result = judged('fire-practice', 'tug-test', [], { observed: 'straight-stop' });
    expect(result).toMatchObject({ verdict: 'not judged', reason: '"straight-stop" does not say how this test went.' });
  });

  it.each([
    [0, 'psi'],
    [160, 'psi'],
    [1103, 'kPa'],
  ] as const)('a pressure of %d %s can be read on a dial', (value, unit) => {
    expect(judged('fire-practice', 'plain-reading', [reading(value, value, 0, 2, unit)]).verdict).toBe('pass');
  });
});
