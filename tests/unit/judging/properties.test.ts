import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { judge } from '../../../src/judging/judge.ts';
import { TESTS } from '../../../src/judging/measurement.ts';
import type { Measurement, TimedReading } from '../../../src/judging/measurement.ts';
import type { RigSettings, StepResult, Verdict } from '../../../src/judging/result.ts';
import { KPA_PER_PSI } from '../../../src/units/pressure.ts';
import type { Pressure } from '../../../src/units/pressure.ts';
import { hold } from './cases.ts';

const profile = fc.constantFrom(...BUILT_IN_PROFILES);
const test = fc.constantFrom(...TESTS);
/** Half pounds, as a dial is called. */
const called = fc.integer({ min: 0, max: 320 }).map((halves) => halves / 2);

const rig: fc.Arbitrary<RigSettings> = fc.record({
  id: fc.constant('engine-31'),
  name: fc.constant('Engine 31'),
  unit: fc.constant('psi' as const),
  resolution: fc.constantFrom(
    {},
    { primary: { value: 2, unit: 'psi' as const }, secondary: { value: 2, unit: 'psi' as const } },
  ),
  reservoirs: fc.constantFrom({}, { supply: 20, primary: 30, secondary: 30 }),
});

function pair(primary: number, secondary: number, start: number): TimedReading {
  return {
    primary: { value: primary, unit: 'psi' },
    secondary: { value: secondary, unit: 'psi' },
    start,
    end: start + 2000,
  };
}

const measurement: fc.Arbitrary<Measurement> = fc
  .record({
    test,
    values: fc.array(called, { minLength: 8, maxLength: 8 }),
    seconds: fc.integer({ min: 1, max: 400 }),
    idle: fc.boolean(),
  })
  .map(({ test: id, values: [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0], seconds, idle }) => ({
    test: id,
    readings: [pair(a, b, 0), pair(c, d, 2000 + seconds * 1000)],
    engineSpeed: idle ? ('idle' as const) : ('operating' as const),
    earlier: { 'governor-cut-out': [pair(e, f, 0)], 'low-air-warning': [pair(g, h, 0)] },
  }));

/** Anything at all that fits the types. */
const wild: fc.Arbitrary<Measurement> = fc.record(
  {
    test,
    readings: fc.array(
      fc.record(
        {
          primary: fc.record({ value: fc.double(), unit: fc.constantFrom('psi' as const, 'kPa' as const) }),
          secondary: fc.record({
            value: fc.double({ min: 0, max: 160 }),
            unit: fc.constantFrom('psi' as const, 'kPa' as const),
          }),
          start: fc.double(),
          end: fc.double(),
        },
        { requiredKeys: ['start', 'end'] },
      ),
      { maxLength: 3 },
    ),
    observed: fc.constantFrom('rig-held', 'rig-moved', 'straight-stop', 'toString', 'nonsense'),
  },
  { requiredKeys: ['test', 'readings'] },
);

function mapPressures(one: Measurement, change: (pressure: Pressure) => Pressure): Measurement {
  const reading = ({ primary, secondary, ...times }: TimedReading): TimedReading => ({
    ...times,
    ...(primary === undefined ? {} : { primary: change(primary) }),
    ...(secondary === undefined ? {} : { secondary: change(secondary) }),
  });
  return {
    ...one,
    readings: one.readings.map(reading),
    earlier: Object.fromEntries(Object.entries(one.earlier ?? {}).map(([id, readings]) => [id, readings.map(reading)])),
  };
}

function exchanged(one: Measurement): Measurement {
  const reading = ({ primary, secondary, ...times }: TimedReading): TimedReading => ({
    ...times,
    ...(secondary === undefined ? {} : { primary: secondary }),
    ...(primary === undefined ? {} : { secondary: primary }),
  });
  return {
    ...one,
    readings: one.readings.map(reading),
    earlier: Object.fromEntries(Object.entries(one.earlier ?? {}).map(([id, readings]) => [id, readings.map(reading)])),
  };
}

function expectSound(result: StepResult): void {
  expect(result.reason).toMatch(/^\S.*\.$/);
  expect(result.reason).not.toMatch(/undefined/);
  for (const figure of Object.values(result.figures)) {
    expect(Number.isFinite(figure.value)).toBe(true);
    expect(figure.uncertainty).toBeGreaterThanOrEqual(0);
    expect(Number.isFinite(figure.uncertainty)).toBe(true);
  }
  for (const limit of result.limits) {
    expect(limit.source.document).not.toBe('');
    expect(limit.min ?? limit.max).toBeTypeOf('number');
  }
  if (result.verdict === 'not judged') return;
  expect(result.limits.length > 0 || result.source !== undefined).toBe(true);
  if (result.source === undefined) expect(Number.isFinite(result.margin?.value)).toBe(true);
}

const BADNESS: Readonly<Record<Verdict, number>> = { pass: 0, marginal: 1, 'not judged': 2, fail: 3 };

describe('every verdict', () => {
  it('carries a reason, and a source or limits with sources; no figure is not a number', () => {
    fc.assert(
      fc.property(measurement, profile, rig, (one, limits, settings) => expectSound(judge(one, limits, settings))),
      { numRuns: 500 },
    );
  });

  it('survives any values that fit the types', () => {
    fc.assert(
      fc.property(wild, profile, rig, (one, limits, settings) => expectSound(judge(one, limits, settings))),
      { numRuns: 500 },
    );
  });

  it('is the same in kPa and in psi', () => {
    const inKpa = ({ value }: Pressure): Pressure => ({ value: value * KPA_PER_PSI, unit: 'kPa' });
    fc.assert(
      fc.property(measurement, profile, rig, (one, limits, settings) => {
        expect(judge(mapPressures(one, inKpa), limits, settings).verdict).toBe(judge(one, limits, settings).verdict);
      }),
      { numRuns: 500 },
    );
  });

  it('does not depend on which circuit is called primary', () => {
    fc.assert(
      fc.property(measurement, profile, rig, (one, limits, settings) => {
        expect(judge(exchanged(one), limits, settings).verdict).toBe(judge(one, limits, settings).verdict);
      }),
      { numRuns: 500 },
    );
  });

  it('of a hold is never improved by a larger drop', () => {
    const drop = fc.integer({ min: 0, max: 30 }).map((quarters) => quarters / 4);
    const seconds = fc.constantFrom(5, 30, 59, 60, 61, 90, 240, 299, 300, 360);
    const kind = fc.constantFrom('static-leakage' as const, 'applied-leakage' as const);
    fc.assert(
      fc.property(kind, profile, seconds, drop, drop, drop, (id, limits, length, other, less, more) => {
        const verdict = (size: number): Verdict =>
          judge({ test: id, readings: hold([120, 120], [120 - other, 120 - less - size], length) }, limits, {
            id: 'r',
            name: 'R',
            unit: 'psi',
          }).verdict;
        expect(BADNESS[verdict(more)]).toBeGreaterThanOrEqual(BADNESS[verdict(0)]);
      }),
      { numRuns: 500 },
    );
  });

  it('of a hold too coarse to decide names a length that decides it, and no shorter one', () => {
    const drop = fc.integer({ min: 1, max: 200 }).map((hundredths) => hundredths / 100);
    fc.assert(
      fc.property(
        fc.constantFrom(...BUILT_IN_PROFILES.filter(({ id }) => id === 'fire-practice' || id === 'us-cdl-single')),
        drop,
        (limits, size) => {
          const after = (length: number): StepResult =>
            judge(
              { test: 'static-leakage', readings: hold([120, 120], [120 - (size * length) / 60, 120], length) },
              limits,
              { id: 'r', name: 'R', unit: 'psi' },
            );
          const first = after(60);
          if (first.decidingHold === undefined) return;
          expect(after(first.decidingHold).verdict).toBe('pass');
          // Within 3 s of its end a hold is judged by the drop itself.
          if (first.decidingHold > 64) expect(after(first.decidingHold - 1).verdict).toBe('marginal');
        },
      ),
    );
  });
});

describe('every limit of the built-in profiles', () => {
  it.each(BUILT_IN_PROFILES.map(({ id, ...rest }) => ({ id, rest })))(
    '$id: has a document and a mark, and nothing from memory is called seen',
    ({ rest }) => {
      for (const { limits } of rest.tests) {
        for (const { source } of limits) {
          expect(source.document.length).toBeGreaterThan(3);
          if (source.document.includes('study cards')) expect(source.sure).toBe('secondary');
        }
      }
      expect(rest.applicability).toMatch(/maker's manual/);
    },
  );
});
