import { describe, expect, it } from 'vitest';
import type { LimitProfile } from '../../../src/judging/profile.ts';
import { judge } from '../../../src/judging/judge.ts';
import type { Measurement } from '../../../src/judging/measurement.ts';
import { ENGINE_31, judged, profileOf, reading } from './cases.ts';

const PRACTICE = { document: 'common practice of the fire service', sure: 'practice' };

describe('a test of one reading', () => {
  it('pre-start fill: names the circuit nearest to its limit', () => {
    const result = judged('fire-practice', 'pre-start-fill', [reading(75, 78)]);
    expect(result.verdict).toBe('pass');
    expect(result.reason).toBe('Secondary was at 78 psi; limit 70 to 80 psi (common practice).');
    expect(result.figures).toMatchObject({
      primary: { value: 75, unit: 'psi' },
      secondary: { value: 78, unit: 'psi' },
    });
    expect(result.limits).toEqual([
      {
        figure: 'primary',
        min: 70,
        max: 80,
        strict: false,
        unit: 'psi',
        condition: 'before the engine is started',
        source: PRACTICE,
      },
      {
        figure: 'secondary',
        min: 70,
        max: 80,
        strict: false,
        unit: 'psi',
        condition: 'before the engine is started',
        source: PRACTICE,
      },
    ]);
    expect(result.margin).toEqual({ figure: 'secondary', value: 2, unit: 'psi' });
  });

  it('pre-start fill: one circuit outside fails, whichever', () => {
    expect(judged('fire-practice', 'pre-start-fill', [reading(69, 75)]).reason).toBe(
      'Primary was at 69 psi; limit 70 to 80 psi (common practice).',
    );
    expect(judged('fire-practice', 'pre-start-fill', [reading(75, 69)]).verdict).toBe('fail');
    expect(judged('fire-practice', 'pre-start-fill', [reading(75, 81)]).margin).toEqual({
      figure: 'secondary',
      value: -1,
      unit: 'psi',
    });
  });

  it('a fail outweighs a margin that is smaller', () => {
    // Primary is exactly at a limit, secondary 3 psi outside.
    expect(judged('fire-practice', 'pre-start-fill', [reading(80, 67)]).reason).toContain('Secondary was at 67 psi');
  });

  it('takes the last reading of a step that was called twice', () => {
    expect(judged('fire-practice', 'pre-start-fill', [reading(75, 60), reading(75, 75, 5, 7)]).verdict).toBe('pass');
  });

  it('cut-out: shows the higher needle and judges both', () => {
    expect(judged('fire-practice', 'governor-cut-out', [reading(125, 131)])).toMatchObject({
      verdict: 'fail',
      reason: 'Secondary was at 131 psi at cut-out; limit 130 psi (common practice).',
      figures: { cutOut: { value: 131 } },
      margin: { figure: 'cutOut', value: -1, unit: 'psi' },
    });
    expect(judged('us-cdl-inspection', 'governor-cut-out', [reading(125, 118)])).toMatchObject({
      verdict: 'fail',
      reason:
        'Secondary was at 118 psi at cut-out; limit 120 to 140 psi (CDL manual, inspection section 11 ("2005 system") section 11).',
      figures: { cutOut: { value: 125 } },
    });
  });

  it('cut-in: shows the lower needle and judges both', () => {
    expect(judged('fire-practice', 'governor-cut-in', [reading(99, 84)])).toMatchObject({
      verdict: 'fail',
      reason: 'Secondary was at 84 psi at cut-in; limit at least 85 psi (common practice).',
      figures: { cutIn: { value: 84 } },
    });
  });

  it('cut-in: the differential is that of the circuit where it is smaller', () => {
    const earlier = { 'governor-cut-out': [reading(125, 124)] };
    const both = judged('fire-practice', 'governor-cut-in', [reading(100, 101)], { earlier });
    expect(both.figures.differential).toMatchObject({ value: 23, unit: 'psi' });
    expect(both.figures.differential?.uncertainty).toBeCloseTo(Math.sqrt(2 / 3), 12);
    expect(
      judged('fire-practice', 'governor-cut-in', [reading(103, 101)], { earlier }).figures.differential?.value,
    ).toBe(22);
    expect(both.missing).toBeUndefined();
  });

  it('cut-in: the cut-out may have been called in the other unit', () => {
    const earlier = { 'governor-cut-out': [reading(861.845, 861.845, 0, 2, 'kPa')] };
    expect(
      judged('fire-practice', 'governor-cut-in', [reading(100, 100)], { earlier }).figures.differential?.value,
    ).toBeCloseTo(25, 4);
  });

  it.each([[undefined], [[]], [[reading(-4, 120)]]])(
    'cut-in: without a usable cut-out (%o) it says what the differential needs',
    (cutOut) => {
      const result = judged(
        'fire-practice',
        'governor-cut-in',
        [reading(100, 100)],
        cutOut === undefined ? {} : { earlier: { 'governor-cut-out': cutOut } },
      );
      expect(result.verdict).toBe('pass');
      expect(result.figures.differential).toBeUndefined();
      expect(result.missing).toEqual(['The differential needs the governor cut-out of this check.']);
    },
  );

  it('a profile may limit the differential', () => {
    const limit = {
      figure: 'differential',
      min: 20,
      strict: false,
      unit: 'psi',
      source: { document: 'Rig handbook', section: '4', sure: 'seen' },
    } as const;
    const profile: LimitProfile = { ...profileOf('nz'), tests: [{ test: 'governor-cut-in', limits: [limit] }] };
    const at = (cutOut: number): ReturnType<typeof judge> =>
      judge(
        {
          test: 'governor-cut-in',
          readings: [reading(100, 100)],
          earlier: { 'governor-cut-out': [reading(cutOut, cutOut)] },
        },
        profile,
        ENGINE_31,
      );
    expect(at(119)).toMatchObject({
      verdict: 'fail',
      reason: 'Governor differential was 19 psi; limit at least 20 psi (Rig handbook 4).',
    });
    expect(at(125).verdict).toBe('pass');
    // Whatever the cut-in does against a limit of its own: one that could not be applied is no pass, and a fail stays one.
    const own = { ...limit, figure: 'cutIn', min: 85 } as const;
    const both: LimitProfile = { ...profile, tests: [{ test: 'governor-cut-in', limits: [own, limit] }] };
    const alone = (cutIn: number, more: Partial<Measurement> = {}): ReturnType<typeof judge> =>
      judge({ test: 'governor-cut-in', readings: [reading(cutIn, cutIn)], ...more }, both, ENGINE_31);
    expect(alone(100)).toMatchObject({
      verdict: 'not judged',
      reason: 'Primary 100 psi, secondary 100 psi. The differential needs the governor cut-out of this check.',
    });
    expect(alone(84).verdict).toBe('fail');
    const unjudged = (cutOut: number): Partial<Measurement> => ({
      earlier: { 'governor-cut-out': [reading(cutOut, cutOut)] },
      unjudged: ['governor-cut-out'],
    });
    expect(alone(100, unjudged(125))).toMatchObject({
      verdict: 'not judged',
      reason: 'Primary 100 psi, secondary 100 psi. The differential needs a judged governor cut-out of this check.',
    });
    expect(alone(100, unjudged(119)).verdict).toBe('fail');
    expect(judge({ test: 'governor-cut-in', readings: [reading(100, 100)] }, profile, ENGINE_31)).toMatchObject({
      verdict: 'not judged',
      reason: 'Primary 100 psi, secondary 100 psi. The differential needs the governor cut-out of this check.',
    });
  });

  it('low-air warning: the lower needle governs, also against an upper limit', () => {
    const result = judged('california-cdl', 'low-air-warning', [reading(90, 70)]);
    expect(result.verdict).toBe('pass');
    expect(result.figures.warningAt?.value).toBe(70);
    expect(judged('california-cdl', 'low-air-warning', [reading(70, 90)]).figures.warningAt?.value).toBe(70);
    expect(judged('california-cdl', 'low-air-warning', [reading(90, 76)]).reason).toBe(
      'Secondary was at 76 psi at the low-air warning; limit 55 to 75 psi (California handbook; Vehicle Code 26506).',
    );
  });

  it('spring brakes: shows the lower needle and judges both', () => {
    expect(judged('us-cdl-single', 'spring-brake-activation', [reading(46, 40)])).toMatchObject({
      verdict: 'fail',
      figures: { activationAt: { value: 40 } },
    });
    expect(judged('us-cdl-single', 'spring-brake-activation', [reading(40, 19)]).verdict).toBe('fail');
    expect(judged('us-cdl-single', 'spring-brake-activation', [reading(40, 30)]).limits[0]?.about).toBe(true);
  });

  it('spring brakes: the order rule names both pressures', () => {
    const earlier = { 'low-air-warning': [reading(64, 36)] };
    const result = judged('fire-practice', 'spring-brake-activation', [reading(42, 39)], { earlier });
    expect(result.verdict).toBe('fail');
    expect(result.reason).toBe(
      'The lower needle was at 39 psi at spring brake activation, and at 36 psi at the low-air warning; limit less than 36 psi (common practice).',
    );
    expect(result.limits.at(-1)).toMatchObject({
      figure: 'activationAt',
      max: 36,
      strict: true,
      condition: 'below the pressure of the low-air warning',
    });
  });

  it('spring brakes: the order is marginal when two dial readings could be exchanged', () => {
    const at = (valve: number): string =>
      judged('au-wa', 'spring-brake-activation', [reading(valve, valve)], {
        earlier: { 'low-air-warning': [reading(58, 58)] },
      }).verdict;
    // 2 × √(2/12) = 0.816 psi.
    expect(at(57.25)).toBe('marginal');
    expect(at(57.1)).toBe('pass');
  });

  it('spring brakes: the warning may have been called in the other unit', () => {
    const earlier = { 'low-air-warning': [reading(413.7, 450, 0, 2, 'kPa')] };
    expect(judged('au-wa', 'spring-brake-activation', [reading(60.5, 61)], { earlier }).verdict).toBe('fail');
    expect(judged('au-wa', 'spring-brake-activation', [reading(58.5, 59)], { earlier }).verdict).toBe('pass');
  });

  it('spring brakes: without a warning the other limits still judge, and the missing order is said', () => {
    const result = judged('fire-practice', 'spring-brake-activation', [reading(40, 40)]);
    expect(result.verdict).toBe('pass');
    expect(result.missing).toEqual(['The order of warning and spring brakes needs the low-air warning of this check.']);
  });

  it('spring brakes: with a warning that was not judged the order is open, and no pass; what fails all the same fails', () => {
    const unjudged = (valve: number, warning?: number): ReturnType<typeof judge> =>
      judged('fire-practice', 'spring-brake-activation', [reading(valve, valve)], {
        ...(warning === undefined ? {} : { earlier: { 'low-air-warning': [reading(warning, warning)] } }),
        unjudged: ['low-air-warning'],
      });
    expect(unjudged(40, 60)).toMatchObject({
      verdict: 'not judged',
      reason:
        'Primary 40 psi, secondary 40 psi. The order of warning and spring brakes needs a judged low-air warning of this check.',
    });
    expect(unjudged(40).verdict).toBe('not judged');
    expect(unjudged(40, 38).verdict).toBe('fail');
    expect(unjudged(48).verdict).toBe('fail');
  });

  it('spring brakes: where the order is the only limit, nothing is judged without the warning', () => {
    const result = judged('au-wa', 'spring-brake-activation', [reading(40, 40)], {
      earlier: { 'low-air-warning': [reading(300, 300)] },
    });
    expect(result.verdict).toBe('not judged');
    expect(result.reason).toBe(
      'Primary 40 psi, secondary 40 psi. The order of warning and spring brakes needs the low-air warning of this check.',
    );
    expect(result.noLimit).toBeUndefined();
  });

  it('a profile without orders asks for none', () => {
    expect(judged('us-cdl-single', 'spring-brake-activation', [reading(40, 40)]).missing).toBeUndefined();
  });

  it('a plain reading is noted', () => {
    const result = judged('fire-practice', 'plain-reading', [reading(120, 121)]);
    expect(result).toMatchObject({
      verdict: 'pass',
      reason: 'Primary 120 psi, secondary 121 psi; noted, this step has no limit.',
      source: { document: 'called by the operator', sure: 'practice' },
    });
    expect(result.figures.secondary?.value).toBe(121);
  });

  it('a test that the profile does not limit is not judged, and says so', () => {
    const result = judged('us-cdl-single', 'governor-cut-out', [reading(125, 124)]);
    expect(result).toMatchObject({
      verdict: 'not judged',
      reason: 'Primary 125 psi, secondary 124 psi; the profile sets no limit for this.',
      noLimit: true,
      figures: { cutOut: { value: 125 }, primary: { value: 125 }, secondary: { value: 124 } },
    });
  });

  it('compares a kPa reading with a psi limit unrounded', () => {
    // 130 psi are 896.318 kPa (NIST SP 811, B.8).
    expect(judged('california-cdl', 'governor-cut-out', [reading(896.3, 896.3, 0, 2, 'kPa')]).verdict).toBe('marginal');
    expect(judged('california-cdl', 'governor-cut-out', [reading(896.4, 896.3, 0, 2, 'kPa')])).toMatchObject({
      verdict: 'fail',
      reason:
        'Primary was at 130.01 psi at cut-out; limit less than 130 psi (California commercial driver handbook (2013 copy) pp. 82-99).',
    });
  });

  it('a step that is only done and said passes because it was called', () => {
    expect(judged('fire-practice', 'none', [])).toEqual({
      verdict: 'pass',
      reason: 'Called by the operator; this step has no limit.',
      figures: {},
      limits: [],
      source: { document: 'called by the operator', sure: 'practice' },
    });
  });

  it('a margin of exactly the reading error is enough, and less is marginal', () => {
    // A resolution of √3 psi gives a reading the expanded uncertainty of 1 psi.
    const dial = { value: Math.sqrt(3), unit: 'psi' as const };
    const rig = { ...ENGINE_31, resolution: { primary: dial, secondary: dial } };
    expect(judged('fire-practice', 'governor-cut-out', [reading(129, 120)], {}, rig).verdict).toBe('pass');
    expect(judged('fire-practice', 'governor-cut-out', [reading(129.1, 120)], {}, rig).verdict).toBe('marginal');
  });

  it('a margin that only binary representation makes is none', () => {
    const source = { document: 'Rig handbook', sure: 'seen' } as const;
    const limit = { figure: 'cutOut', max: 0.3, strict: false, unit: 'psi', source } as const;
    const profile: LimitProfile = {
      ...profileOf('nz'),
      tests: [{ test: 'governor-cut-out', limits: [limit] }],
    };
    const result = judge({ test: 'governor-cut-out', readings: [reading(0.1 + 0.2, 0)] }, profile, ENGINE_31);
    expect(result.verdict).toBe('marginal');
    expect(result.margin?.value).toBe(0);
  });
});
