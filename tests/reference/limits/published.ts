import { expect, it } from 'vitest';
import type { EngineSpeed, TestId, TimedReading } from '../../../src/judging/measurement.ts';
import type { RigSettings, Source, Verdict } from '../../../src/judging/result.ts';
import type { PressureUnit } from '../../../src/units/pressure.ts';
import { ENGINE_31, hold, judged, profileOf, reading, rise } from '../../unit/judging/cases.ts';

/** Dials that are read to 0.01 psi, so that the limit and not the dial decides. */
export const FINE: RigSettings = {
  ...ENGINE_31,
  resolution: { primary: { value: 0.01, unit: 'psi' }, secondary: { value: 0.01, unit: 'psi' } },
};

/** `atMost` and `atLeast`: the value itself is inside ("not more than"); `below`: it is outside ("less than"). */
export interface Published {
  readonly profile: string;
  readonly test: TestId;
  readonly atMost?: number;
  readonly atLeast?: number;
  readonly below?: number;
  /** Of the pressures: psi when absent. A build-up time is in seconds. */
  readonly unit?: PressureUnit;
  /** Of a build-up: both needles from and to, and the engine speed that the document asks for. */
  readonly rise?: readonly [from: number, to: number];
  readonly engineSpeed?: EngineSpeed;
}

/** What both needles do when the figure of the test is at `value`. */
function readingsAt({ test, rise: span, unit = 'psi' }: Published, value: number): readonly TimedReading[] {
  if (span !== undefined) return rise([span[0], span[0]], [span[1], span[1]], value);
  if (test !== 'static-leakage' && test !== 'applied-leakage') return [reading(value, value, 0, 2, unit)];
  const full = unit === 'psi' ? 120 : 800;
  return hold([full, full], [full, full - value], 60, unit);
}

/**
 * Each limit that a document publishes, with a value just inside, at and just outside it: inside passes, outside fails,
 * and the value itself is marginal where it is still inside. `sure` is how the document is known.
 */
export function holdsTo(document: string, sure: Source['sure'], limits: readonly Published[]): void {
  it.each(limits.map((limit) => ({ ...limit, bound: limit.atMost ?? limit.atLeast ?? limit.below ?? NaN })))(
    `${document} (${sure}): $profile, $test, $bound`,
    ({ bound, ...limit }) => {
      const { profile, test, atLeast, below, engineSpeed = 'operating' } = limit;
      const inwards = atLeast === undefined ? -0.5 : 0.5;
      const verdict = (at: number): Verdict => {
        const earlier = { 'low-air-warning': [reading(65, 65)] };
        return judged(profile, test, readingsAt(limit, at), { engineSpeed, earlier }, FINE).verdict;
      };
      expect(verdict(bound + inwards)).toBe('pass');
      expect(verdict(bound)).toBe(below === undefined ? 'marginal' : 'fail');
      expect(verdict(bound - inwards)).toBe('fail');
      const marks = profileOf(profile)
        .tests.find((entry) => entry.test === test)
        ?.limits.map(({ source }) => source.sure);
      expect(marks).toContain(sure);
    },
  );
}
