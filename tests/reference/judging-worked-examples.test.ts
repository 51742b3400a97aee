import { describe, expect, it } from 'vitest';
import type { Measurement, TestId, TimedReading } from '../../src/judging/measurement.ts';
import type { RigSettings, Verdict } from '../../src/judging/result.ts';
import { ENGINE_31, hold, judged, reading, rise } from '../unit/judging/cases.ts';

/*
 * Verdicts worked out by hand from the published limits of each document: rate = drop × 60 ÷ seconds, the worse gauge
 * decides. P: inside the limit, so pass, or marginal where the 1 psi dial cannot tell; F: fail; -: not judged.
 * CDL: model manual section 5 (S). INS: inspection section 11 (S). CA: California handbook 2013, VC 26506 (S).
 * NF: NFPA 1911-2007 ch. 6 (from study cards). ON: Ontario MTO handbooks (S). QC: C-24.2 r. 32 s. 166 (S).
 * BC: ICBC manual p. 218 (S). AB: Alberta guide 1877 (S). FM: 49 CFR 571.121 (S).
 */
const CODES = {
  CDL: 'us-cdl-single',
  INS: 'us-cdl-inspection',
  CA: 'california-cdl',
  NF: 'nfpa-1911-2007',
  ON: 'canada-ontario',
  QC: 'canada-quebec',
  BC: 'canada-bc',
  AB: 'canada-alberta',
  FM: 'us-fmvss-121',
} as const;

const ALLOWED: Readonly<Record<string, readonly Verdict[]>> = {
  P: ['pass', 'marginal'],
  F: ['fail'],
  '-': ['not judged'],
};

interface Example {
  readonly what: string;
  readonly test: TestId;
  readonly readings: readonly TimedReading[];
  readonly expected: Partial<Record<keyof typeof CODES, 'P' | 'F' | '-'>>;
  readonly more?: Partial<Measurement>;
  readonly rig?: RigSettings;
}

const S = 'static-leakage';
const A = 'applied-leakage';
const W = 'low-air-warning';
const V = 'spring-brake-activation';

/** 8000 in³ of tanks where 3744 in³ are required; 1 in³ is 0.016387064 l exactly. */
const OVERSIZED: RigSettings = {
  ...ENGINE_31,
  reservoirs: { supply: 2000 * 0.016387064, primary: 3000 * 0.016387064, secondary: 3000 * 0.016387064 },
  requiredReservoirs: 3744 * 0.016387064,
};

const EXAMPLES: readonly Example[] = [
  {
    what: '1: static 1 psi in 60 s',
    test: S,
    readings: hold([125, 125], [124, 124], 60),
    expected: { CDL: 'P', CA: 'P', NF: 'P' },
  },
  {
    what: '2: static 2 psi in 60 s',
    test: S,
    readings: hold([125, 125], [123, 124], 60),
    expected: { CDL: 'F', CA: 'P', NF: 'P' },
  },
  {
    what: '3: static 3 psi in 60 s',
    test: S,
    readings: hold([122, 121], [119, 120], 60),
    expected: { CDL: 'F', CA: 'F', NF: 'F' },
  },
  {
    what: '4: static 2 psi in 90 s',
    test: S,
    readings: hold([125, 125], [123, 124], 90),
    expected: { CDL: 'P', CA: 'P', NF: 'P' },
  },
  {
    what: '5: static 1 psi in 30 s',
    test: S,
    readings: hold([125, 125], [124, 124], 30),
    expected: { CDL: '-', CA: '-', NF: '-' },
  },
  {
    what: '6: applied 3 psi in 60 s',
    test: A,
    readings: hold([112, 112], [109, 109], 60),
    expected: { CDL: 'P', INS: 'P', CA: 'P', ON: 'P', QC: 'P' },
  },
  {
    what: '7: applied 4 psi in 60 s',
    test: A,
    readings: hold([110, 110], [106, 106], 60),
    expected: { CDL: 'F', INS: 'F', CA: 'F', ON: 'F', QC: 'P' },
  },
  {
    what: '8: applied 21 kPa in 60 s, called in kPa',
    test: A,
    readings: hold([780, 780], [759, 759], 60, 'kPa'),
    expected: { ON: 'P', QC: 'P', CDL: 'F', INS: 'F', CA: 'F', NF: 'F' },
  },
  {
    what: '9: applied 5 psi in 60 s',
    test: A,
    readings: hold([115, 115], [110, 110], 60),
    expected: { QC: 'P', CDL: 'F', INS: 'F', CA: 'F', NF: 'F', ON: 'F' },
  },
  {
    what: '10: applied 6 psi in 60 s',
    test: A,
    readings: hold([118, 118], [112, 112], 60),
    expected: { QC: 'F', CDL: 'F', INS: 'F', CA: 'F', NF: 'F', ON: 'F' },
  },
  {
    what: '11: applied 2 and 4 psi in 60 s',
    test: A,
    readings: hold([118, 117], [116, 113], 60),
    expected: { CDL: 'F', INS: 'F', CA: 'F', ON: 'F', QC: 'P' },
  },
  {
    what: '12: warning at 62/58',
    test: W,
    readings: [reading(62, 58)],
    expected: { CDL: 'F', BC: 'F', AB: 'F', FM: 'F', INS: 'P', CA: 'P', ON: 'P', QC: 'P' },
  },
  {
    what: '13: warning at 78',
    test: W,
    readings: [reading(78, 78)],
    expected: { CA: 'F', CDL: 'P', INS: 'P', BC: 'P', AB: 'P', ON: 'P', QC: 'P', FM: 'P' },
  },
  {
    what: '14: warning at 54',
    test: W,
    readings: [reading(54, 54)],
    expected: { CA: 'F', CDL: 'F', INS: 'F', BC: 'F', AB: 'F', ON: 'F', QC: 'F', FM: 'F' },
  },
  {
    what: '15: valve at 44',
    test: V,
    readings: [reading(44, 44)],
    expected: { CDL: 'P', CA: 'P', BC: 'P', AB: 'P', INS: 'F' },
  },
  {
    what: '16: valve at 18',
    test: V,
    readings: [reading(18, 18)],
    expected: { CDL: 'F', CA: 'F', BC: 'F', AB: 'F', INS: 'F' },
  },
  {
    what: '17: 85 to 100 psi in 52 s at the maker’s maximum speed, 8000 in³ of tanks',
    test: 'build-up',
    readings: rise([85, 85], [100, 100], 52),
    expected: { FM: 'P', NF: 'F', CDL: 'F', ON: '-' },
    more: { engineSpeed: 'governed' },
    rig: OVERSIZED,
  },
  {
    what: '18: 50 to 90 psi in 170 s at 1200 rpm',
    test: 'build-up',
    readings: rise([50, 50], [90, 90], 170),
    expected: { AB: 'P', BC: 'P' },
  },
  {
    what: '19: cut-out at 132',
    test: 'governor-cut-out',
    readings: [reading(132, 132)],
    expected: { CA: 'F', INS: 'P', BC: 'P', ON: 'P' },
  },
  {
    what: '20: cut-in at 82',
    test: 'governor-cut-in',
    readings: [reading(82, 82)],
    expected: { CA: 'F', FM: 'F', ON: 'P', BC: 'P' },
  },
];

const CASES = EXAMPLES.flatMap((example) =>
  Object.entries(example.expected).map(([code, expected]) => ({
    ...example,
    code: code as keyof typeof CODES,
    expected,
  })),
);

describe('worked examples', () => {
  it.each(CASES)('$what is $expected under $code', ({ code, test, readings, expected, more, rig }) => {
    expect(ALLOWED[expected]).toContain(judged(CODES[code], test, readings, more, rig).verdict);
  });

  it('4: the raw drop of the 90 s hold is kept beside its rate of 1.33 psi a minute', () => {
    const { figures } = judged('us-cdl-single', S, hold([125, 125], [123, 124], 90));
    expect(figures.primaryDrop?.value).toBe(2);
    expect(figures.primaryRate?.value).toBeCloseTo(1.3333, 4);
  });

  it('6 and 7: 3 and 4 psi a minute are 20.7 and 27.6 kPa a minute', () => {
    expect(judged('canada-ontario', A, hold([112, 112], [109, 109], 60)).reason).toContain('20.7 kPa a minute');
    expect(judged('canada-ontario', A, hold([110, 110], [106, 106], 60)).reason).toContain('27.6 kPa a minute');
  });

  it('8: 21 kPa is told as 3.05 psi where the limit is 3', () => {
    expect(judged('california-cdl', A, hold([780, 780], [759, 759], 60, 'kPa')).reason).toContain(
      'dropped 21 kPa in 60 s, 3.05 psi a minute',
    );
  });

  it('17: the limit of the oversized tanks is 8000 × 25 ÷ 3744 = 53.4 s', () => {
    const { figures, limits } = judged('us-fmvss-121', 'build-up', rise([85, 85], [100, 100], 52), {}, OVERSIZED);
    expect(figures.buildUpRequirement?.value).toBeCloseTo(53.4, 1);
    expect(limits[0]?.max).toBeCloseTo(53.4, 1);
  });
});
