import { describe, expect, it } from 'vitest';
import type { RigSettings } from '../../../src/judging/result.ts';
import { ENGINE_31, judged, reading, rise } from './cases.ts';

const RIG: RigSettings = {
  ...ENGINE_31,
  reservoirs: { supply: 20, primary: 30, secondary: 40 },
  requiredReservoirs: 60,
  compressorDisplacement: 400,
};

describe('a build-up', () => {
  it('is the time of the lower needle over the span, from onset to onset', () => {
    const result = judged('fire-practice', 'build-up', [reading(86, 85, 10, 13), reading(100, 102, 40, 44)]);
    expect(result.figures.buildUpTime).toMatchObject({ value: 30, unit: 's' });
    expect(result).toMatchObject({
      verdict: 'pass',
      reason: 'The lower needle rose from 85 to 100 psi in 30 s; limit 45 s (common practice).',
      margin: { figure: 'buildUpTime', value: 15, unit: 's' },
    });
  });

  it('is normalised from the pressures that were called', () => {
    // 86 to 102: 16 psi in 40 s, so 15 psi in 37.5 s.
    const { figures, reason } = judged('fire-practice', 'build-up', rise([86, 90], [104, 102], 40));
    expect(reason).toMatch(
      /rose from 86 to 102 psi in 40 s, which is 37\.5 s for the limit’s 85 to 100 psi; limit 45 s/,
    );
    expect(figures.buildUpTime?.value).toBeCloseTo(37.5, 12);
    // Two readings of a 1 psi dial: U of the rise √(2/3), of the time in proportion.
    expect(figures.buildUpTime?.uncertainty).toBeCloseTo((37.5 * Math.sqrt(2 / 3)) / 16, 12);
  });

  it.each([
    [44, 'marginal'],
    [45, 'marginal'],
    [46, 'fail'],
    [42, 'pass'],
  ])('of %d s is %s against 45 s', (seconds, verdict) => {
    expect(judged('us-cdl-single', 'build-up', rise([85, 85], [100, 100], seconds)).verdict).toBe(verdict);
  });

  it.each([
    [88, 100, 'pass'],
    [88.1, 100, 'not judged'],
    [70, 100, 'pass'],
    [69.9, 100, 'not judged'],
    [85, 99.9, 'not judged'],
    [85, 115, 'pass'],
    [85, 115.1, 'not judged'],
  ])('from %d to %d psi is %s for the span of 85 to 100', (from, to, verdict) => {
    expect(judged('fire-practice', 'build-up', rise([from, from], [to, to], 12)).verdict).toBe(verdict);
  });

  it('says which span it should have covered', () => {
    expect(judged('fire-practice', 'build-up', rise([90, 92], [100, 100], 12)).reason).toBe(
      'The window began at 90 psi, and the limit is for 85 to 100 psi.',
    );
    expect(judged('fire-practice', 'build-up', rise([0, 0], [100, 100], 120)).reason).toBe(
      'The window ran from 0 to 100 psi, and the limit is for 85 to 100 psi.',
    );
    expect(judged('canada-bc', 'build-up', rise([85, 85], [100, 100], 12)).reason).toBe(
      'The window began at 85 psi, and the limit is for 50 to 90 psi.',
    );
  });

  it('is judged in kPa against a span in psi', () => {
    const result = judged('fire-practice', 'build-up', rise([580, 590], [700, 710], 40, 'kPa'));
    // 15 psi are 103.421 kPa (NIST SP 811, B.8), the rise 120 kPa.
    expect(result.figures.buildUpTime?.value).toBeCloseTo((40 * 103.42136) / 120, 5);
    expect(result.verdict).toBe('pass');
  });

  it('at fast idle does not pass a limit for idle, and fails it', () => {
    const result = judged('canada-ontario', 'build-up', rise([85, 85], [100, 100], 60));
    expect(result).toMatchObject({
      verdict: 'not judged',
      reason: 'The limit is for a build-up at idle, and this one was at operating speed; repeat it at idle.',
    });
    expect(judged('canada-ontario', 'build-up', rise([85, 85], [100, 100], 130)).verdict).toBe('fail');
    expect(judged('canada-ontario', 'build-up', rise([85, 85], [100, 100], 60), { engineSpeed: 'idle' }).verdict).toBe(
      'pass',
    );
  });

  it('at idle passes a limit for operating speed, and does not fail it', () => {
    const at = (seconds: number): ReturnType<typeof judged> =>
      judged('fire-practice', 'build-up', rise([85, 85], [100, 100], seconds), { engineSpeed: 'idle' });
    expect(at(30).verdict).toBe('pass');
    expect(at(60)).toMatchObject({
      verdict: 'not judged',
      reason: 'The limit is for a build-up at operating speed, and this one was at idle; repeat it at operating speed.',
    });
  });

  it('computes the delivered air from each reservoir’s own rise', () => {
    const { figures, missing } = judged('fire-practice', 'build-up', rise([85, 88], [100, 104], 30), {}, RIG);
    // 20 l and 30 l rise 15 psi, 40 l rise 16 psi; 14.6959 psi is one atmosphere; two windows a minute.
    const flow = (2 * (20 * 15 + 30 * 15 + 40 * 16)) / 14.69594878;
    expect(figures.deliveredFlow?.value).toBeCloseTo(flow, 6);
    expect(figures.deliveredFlow?.uncertainty).toBeCloseTo((2 * 90 * Math.sqrt(2 / 3)) / 14.69594878, 6);
    expect(figures.deliveredShare?.value).toBeCloseTo(flow / 4, 6);
    expect(figures.deliveredShare?.uncertainty).toBeCloseTo((2 * 90 * Math.sqrt(2 / 3)) / 14.69594878 / 4, 6);
    expect(missing).toBeUndefined();
  });

  it.each(['supply', 'primary', 'secondary'] as const)('says that it needs the volume of the %s reservoir', (tank) => {
    const reservoirs = Object.fromEntries(Object.entries(RIG.reservoirs ?? {}).filter(([name]) => name !== tank));
    const result = judged('us-fmvss-121', 'build-up', rise([85, 85], [100, 100], 30), {}, { ...RIG, reservoirs });
    expect(result.verdict).toBe('not judged');
    expect(result.reason).toBe(
      'The volume-corrected limit needs the volumes of all reservoirs and the required capacity in the rig settings.',
    );
    expect(result.figures.buildUpTime?.value).toBe(30);
    expect(result.figures.deliveredFlow).toBeUndefined();
    expect(result.missing).toEqual([
      'The delivered air needs the volumes of all reservoirs in the rig settings.',
      'The volume-corrected limit needs the volumes of all reservoirs and the required capacity in the rig settings.',
    ]);
  });

  it('needs the required capacity for the volume-corrected limit, and the displacement for the share', () => {
    const rig: RigSettings = { ...ENGINE_31, reservoirs: { supply: 0, primary: 30, secondary: 30 } };
    const result = judged('us-fmvss-121', 'build-up', rise([85, 85], [100, 100], 30), {}, rig);
    expect(result.verdict).toBe('not judged');
    expect(result.figures.deliveredFlow).toBeDefined();
    expect(result.missing?.[0]).toBe(
      'The share of the rated displacement needs the rated displacement of the compressor in the rig settings.',
    );
    expect(
      judged('us-fmvss-121', 'build-up', rise([85, 85], [100, 100], 24), {}, { ...rig, requiredReservoirs: 60 })
        .verdict,
    ).toBe('marginal');
  });

  it('keeps the figures where the profile sets no limit', () => {
    const result = judged('california-cdl', 'build-up', rise([85, 85], [100, 100], 30), {}, RIG);
    expect(result).toMatchObject({
      verdict: 'not judged',
      noLimit: true,
      reason: 'The profile sets no limit for build-up; the figures are kept.',
    });
    expect(result.figures.deliveredFlow).toBeDefined();
  });

  it('takes a span that hangs on an earlier test from the lower needle of that test', () => {
    const earlier = { 'governor-cut-out': [reading(125, 122)] };
    const result = judged('au-wa', 'build-up', rise([0, 0], [110, 110], 200), { earlier });
    // 80 % of 122 psi is 97.6 psi.
    expect(result.figures.buildUpTime?.value).toBeCloseTo((200 * 97.6) / 110, 9);
  });

  it('says which earlier test the span needs', () => {
    expect(judged('au-wa', 'build-up', rise([0, 0], [110, 110], 200)).reason).toBe(
      'The span of the limit depends on the pressure of the step governor-cut-out, which was not measured.',
    );
    expect(judged('nz', 'build-up', rise([60, 60], [110, 110], 100)).reason).toContain('low-air-warning');
  });

  it('does not judge a span without width', () => {
    const earlier = { 'governor-cut-out': [reading(60, 60)], 'low-air-warning': [reading(60, 60)] };
    expect(judged('nz', 'build-up', rise([60, 60], [110, 110], 100), { earlier }).reason).toBe(
      'The span of the limit is empty: 60 to 60 psi.',
    );
  });
});
