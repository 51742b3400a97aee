import { describe, expect, it } from 'vitest';
import type { FigureName, StepResult } from '../../../src/judging/result.ts';
import { ENGINE_31, hold, judged, reading, rise } from './cases.ts';

const RIG = {
  ...ENGINE_31,
  reservoirs: { supply: 20, primary: 30, secondary: 40 },
  requiredReservoirs: 60,
  compressorDisplacement: 400,
};

function inputs(result: StepResult, name: FigureName): string {
  return (result.why?.[name]?.inputs ?? [])
    .map((input) => `${input.name} = ${Number(input.value.toFixed(4))} ${input.unit}`)
    .join('; ');
}

function formula(result: StepResult, name: FigureName): string | undefined {
  return result.why?.[name]?.formula;
}

describe('why', () => {
  it('explains the figures of a hold', () => {
    const result = judged('us-cdl-single', 'static-leakage', hold([120, 121], [119, 119], 75), {}, RIG);
    expect(formula(result, 'primaryDrop')).toBe('first reading − second reading');
    expect(inputs(result, 'primaryDrop')).toBe('primary, first reading = 120 psi; primary, second reading = 119 psi');
    expect(inputs(result, 'secondaryDrop')).toBe(
      'secondary, first reading = 121 psi; secondary, second reading = 119 psi',
    );
    expect(result.why?.primaryDrop?.uncertainty).toBe('two dial readings to the nearest 1 psi: 2 × √2 × 1 ÷ √12');
    expect(formula(result, 'secondaryRate')).toBe('drop × 60 s ÷ interval');
    expect(inputs(result, 'secondaryRate')).toBe('secondary drop = 2 psi; interval = 75 s');
    expect(result.why?.secondaryRate?.uncertainty).toBe('error of the drop, 0.8 psi, × 60 s ÷ interval');
    expect(result.why?.secondaryRate?.margin?.value).toBeCloseTo(0.4, 12);
    expect(result.why?.primaryRate?.margin?.value).toBeCloseTo(1.2, 12);
    expect(result.why?.primaryRate?.limits).toEqual([
      {
        figure: 'primaryRate',
        max: 2,
        strict: true,
        unit: 'psi/min',
        condition: 'engine off, brakes released',
        source: { document: 'CDL model manual', section: 'section 5', sure: 'seen' },
      },
    ]);
    expect(result.why?.primaryDrop?.limits).toEqual([]);
    expect(result.why?.primaryDrop).not.toHaveProperty('margin');
    expect(formula(result, 'interval')).toBe('onset of the second reading − end of the first');
    expect(inputs(result, 'interval')).toBe('end of the first reading = 12 s; onset of the second reading = 87 s');
    expect(result.why?.interval?.uncertainty).toContain('audio samples');
    expect(formula(result, 'leakageFlow')).toBe('sum over both circuits of reservoir volume × drop rate ÷ 101.325 kPa');
    expect(inputs(result, 'leakageFlow')).toBe(
      'primary reservoir = 30 l; primary rate = 0.8 psi/min; secondary reservoir = 40 l; secondary rate = 1.6 psi/min',
    );
    expect(result.why?.leakageFlow?.uncertainty).toBe('errors of both rates, combined in quadrature');
    expect(formula(result, 'timeToWarning')).toBe(
      '(second reading − warning pressure) ÷ rate, for the circuit that is there first',
    );
    expect(inputs(result, 'timeToWarning')).toBe(
      'secondary, second reading = 119 psi; warning pressure, lowest that the profile allows = 60 psi; secondary rate = 1.6 psi/min',
    );
    expect(result.why?.timeToWarning?.uncertainty).toBe('relative error of the rate');
  });

  it('explains the figures of a build-up', () => {
    const result = judged('us-fmvss-121', 'build-up', rise([85, 86], [100, 101], 30), {}, RIG);
    expect(formula(result, 'buildUpTime')).toBe('time × span ÷ rise of the lower needle');
    expect(inputs(result, 'buildUpTime')).toBe(
      'time = 30 s; span from = 85 psi; span to = 100 psi; lower needle at the start = 85 psi; lower needle at the end = 100 psi',
    );
    expect(result.why?.buildUpTime?.uncertainty).toBe('error of the rise, 0.8 psi, as a part of the rise');
    expect(result.why?.buildUpTime?.limits[0]?.max).toBe(37.5);
    expect(formula(result, 'buildUpRequirement')).toBe('actual reservoir capacity × 25 s ÷ required capacity');
    expect(inputs(result, 'buildUpRequirement')).toBe('actual capacity = 90 l; required capacity = 60 l');
    expect(result.figures.buildUpRequirement).toEqual({ value: 37.5, unit: 's', uncertainty: 0 });
    expect(result.why?.buildUpRequirement?.uncertainty).toBe('rated volumes are taken as exact');
    expect(formula(result, 'deliveredFlow')).toBe('sum of reservoir volume × rise ÷ 101.325 kPa, ÷ time');
    expect(inputs(result, 'deliveredFlow')).toBe(
      'supply reservoir = 20 l; lower needle rise = 15 psi; primary reservoir = 30 l; primary rise = 15 psi; secondary reservoir = 40 l; secondary rise = 15 psi; time = 30 s',
    );
    expect(result.why?.deliveredFlow?.uncertainty).toBe('error of the rise, taken as common to all reservoirs');
    expect(formula(result, 'deliveredShare')).toBe('delivered free air ÷ rated displacement × 100');
    expect(inputs(result, 'deliveredShare')).toMatch(
      /^delivered free air = 183\.\d+ l\/min; rated displacement = 400 l\/min$/,
    );
    expect(result.why?.deliveredShare?.uncertainty).toBe('relative error of the delivered air');
  });

  it('explains the figures of single readings', () => {
    const cutIn = judged('fire-practice', 'governor-cut-in', [reading(100, 99)], {
      earlier: { 'governor-cut-out': [reading(125, 123)] },
    });
    expect(formula(cutIn, 'cutIn')).toBe('the lower needle as called at cut-in');
    expect(inputs(cutIn, 'cutIn')).toBe('primary = 100 psi; secondary = 99 psi');
    expect(cutIn.why?.cutIn?.uncertainty).toBe('dial read to the nearest 1 psi: rectangular, 1 ÷ √12, times 2');
    expect(formula(cutIn, 'primary')).toBe('as called');
    expect(formula(cutIn, 'differential')).toBe(
      'cut-out − cut-in of the same circuit, the smaller of the two circuits',
    );
    expect(inputs(cutIn, 'differential')).toBe(
      'primary at cut-out = 125 psi; primary at cut-in = 100 psi; secondary at cut-out = 123 psi; secondary at cut-in = 99 psi',
    );
    expect(cutIn.why?.differential?.uncertainty).toBe('two dial readings, combined in quadrature, times 2');
    expect(formula(judged('fire-practice', 'governor-cut-out', [reading(125, 124)]), 'cutOut')).toBe(
      'the higher needle as called at cut-out',
    );
    expect(formula(judged('fire-practice', 'low-air-warning', [reading(60, 62)]), 'warningAt')).toBe(
      'the lower needle as called at the low-air warning',
    );
    expect(formula(judged('fire-practice', 'spring-brake-activation', [reading(40, 41)]), 'activationAt')).toBe(
      'the lower needle as called at spring brake activation',
    );
  });

  it('shows the margin to the nearer of two bounds', () => {
    const low = judged('california-cdl', 'low-air-warning', [reading(57, 60)]);
    expect(low.why?.warningAt?.margin).toEqual({ value: 2, unit: 'psi' });
    const high = judged('california-cdl', 'low-air-warning', [reading(74, 80)]);
    expect(high.why?.warningAt?.margin).toEqual({ value: 1, unit: 'psi' });
  });
});

describe('leaking air', () => {
  it('is not computed without both service volumes, and the setting is named', () => {
    const result = judged(
      'fire-practice',
      'static-leakage',
      hold([120, 120], [119, 119], 60),
      {},
      { ...ENGINE_31, reservoirs: { supply: 20, primary: 30 } },
    );
    expect(result.figures.leakageFlow).toBeUndefined();
    expect(result.missing).toEqual([
      'The leakage as free air needs the volumes of the primary and secondary reservoirs in the rig settings.',
    ]);
  });

  it('counts each circuit’s own rate and combines their errors', () => {
    const { figures } = judged('fire-practice', 'applied-leakage', hold([120, 120], [119, 118], 60), {}, RIG);
    // 14.69595 psi are one atmosphere: (30 × 1 + 40 × 2) ÷ 14.69595; errors 0.8165 × √(30² + 40²) ÷ 14.69595.
    expect(figures.leakageFlow?.value).toBeCloseTo(110 / 14.69594878, 6);
    expect(figures.leakageFlow?.uncertainty).toBeCloseTo((Math.sqrt(2 / 3) * 50) / 14.69594878, 6);
  });

  it('takes the rig’s own warning pressure where this check measured it', () => {
    const earlier = { 'low-air-warning': [reading(70, 66)] };
    const { figures, why } = judged('fire-practice', 'static-leakage', hold([120, 120], [119, 118], 60), { earlier });
    expect(figures.timeToWarning?.value).toBeCloseTo((118 - 66) / 2, 9);
    expect(why?.timeToWarning?.inputs[1]).toEqual({
      name: 'warning pressure, as called in this check',
      value: 66,
      unit: 'psi',
    });
  });

  it('ignores a warning that was called unusably', () => {
    const earlier = { 'low-air-warning': [reading(-70, 66)] };
    expect(
      judged('fire-practice', 'static-leakage', hold([120, 120], [119, 118], 60), { earlier }).figures.timeToWarning
        ?.value,
    ).toBeCloseTo((118 - 55) / 2, 9);
  });

  it('converts a warning limit in kPa', () => {
    // 380 kPa are 55.114 psi.
    const { figures } = judged('canada-ontario', 'static-leakage', hold([120, 120], [119, 118], 60));
    expect(figures.timeToWarning?.value).toBeCloseTo((118 - 55.1143) / 2, 4);
  });

  it('says no time for a parked rig that does not leak, or is below the warning already', () => {
    const still = judged('fire-practice', 'static-leakage', hold([120, 120], [120, 120], 60));
    expect(still.figures.timeToWarning).toBeUndefined();
    expect(still.missing?.[1]).toBe('The time to the low-air warning needs a drop above the warning pressure.');
    expect(
      judged('fire-practice', 'static-leakage', hold([50, 50], [49, 49], 60)).figures.timeToWarning,
    ).toBeUndefined();
    expect(judged('fire-practice', 'static-leakage', hold([56, 56], [55, 56], 60)).figures.timeToWarning?.value).toBe(
      0,
    );
  });

  it('says no time under an applied brake, nor where no warning pressure is known', () => {
    expect(
      judged('fire-practice', 'applied-leakage', hold([120, 120], [119, 119], 60), {}, RIG).missing,
    ).toBeUndefined();
    expect(
      judged('fire-practice', 'applied-leakage', hold([120, 120], [119, 119], 60)).figures.timeToWarning,
    ).toBeUndefined();
    expect(judged('nfpa-1911-2007', 'static-leakage', hold([120, 120], [119, 119], 60), {}, RIG).missing).toEqual([
      'The time to the low-air warning needs a low-air warning limit or reading.',
    ]);
  });

  it('keeps the figures of a leak that the profile does not limit', () => {
    expect(judged('canada-ontario', 'static-leakage', hold([120, 120], [110, 119], 60))).toMatchObject({
      verdict: 'not judged',
      noLimit: true,
      reason: 'The profile sets no limit for this leak; the figures are kept.',
      figures: { primaryRate: { value: 10, unit: 'psi/min' } },
    });
  });
});
