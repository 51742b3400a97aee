import { describe, expect, it } from 'vitest';
import { freeAir, volumeCorrectedBuildUp } from '../../src/judging/air.ts';
import { LITRES_PER_CUBIC_FOOT } from '../../src/judging/compare.ts';
import type { RigSettings } from '../../src/judging/result.ts';
import { ENGINE_31, hold, judged, rise } from '../unit/judging/cases.ts';

const CUBIC_INCH = 0.016387064;

/** 3744 in³ in all: the least that 49 CFR 571.121 S5.1.2.1 allows with two type 24 and two type 30 chambers (12 × 312 in³). */
const SMALLEST: RigSettings = {
  ...ENGINE_31,
  reservoirs: { supply: 0, primary: 1872 * CUBIC_INCH, secondary: 1872 * CUBIC_INCH },
  requiredReservoirs: 3744 * CUBIC_INCH,
};

describe('free air (Boyle’s law, standard atmosphere 14.696 psi)', () => {
  it('3744 in³ from 85 to 100 psi take 3744 × 15 ÷ 14.696 in³ = 2.21 ft³', () => {
    expect(freeAir(3744 * CUBIC_INCH, 15, 'psi') / LITRES_PER_CUBIC_FOOT).toBeCloseTo(2.21, 2);
  });

  it('those in 25 s need a delivery of 5.3 cfm', () => {
    const { figures } = judged('us-fmvss-121', 'build-up', rise([85, 85], [100, 100], 25), {}, SMALLEST);
    expect(figures.deliveredFlow?.also?.unit).toBe('cfm');
    expect(figures.deliveredFlow?.also?.value).toBeCloseTo(5.3, 1);
    expect(figures.deliveredFlow?.value).toBeCloseTo(5.307 * 28.3168, 0);
  });

  it('a 13.2 cfm compressor that delivers 60 % of its displacement takes 16.8 s', () => {
    const rig = { ...SMALLEST, compressorDisplacement: 13.2 * LITRES_PER_CUBIC_FOOT };
    const { figures } = judged('us-fmvss-121', 'build-up', rise([85, 85], [100, 100], 16.75), {}, rig);
    expect(figures.deliveredShare?.value).toBeCloseTo(60, 0);
    expect(figures.deliveredShare?.unit).toBe('%');
  });

  it('a leak of 3 psi a minute from 3744 in³ is 0.44 cfm of free air', () => {
    const { figures } = judged('us-cdl-single', 'static-leakage', hold([120, 120], [117, 117], 60), {}, SMALLEST);
    expect(figures.leakageFlow?.also?.unit).toBe('cfm');
    expect(figures.leakageFlow?.also?.value).toBeCloseTo(0.44, 2);
    expect(figures.leakageFlow?.value).toBeCloseTo(0.4423 * 28.3168, 1);
  });

  it('is the same for the same change in kPa', () => {
    expect(freeAir(60, 6.894757 * 10, 'kPa')).toBeCloseTo(freeAir(60, 10, 'psi'), 5);
    // One litre raised by one standard atmosphere, 101.325 kPa (ISO 2533), takes one litre.
    expect(freeAir(1, 101.325, 'kPa')).toBe(1);
  });
});

describe('49 CFR 571.121 S5.1.1', () => {
  it('allows 8000 × 25 ÷ 3744 = 53.4 s for 8000 in³ where 3744 in³ are required', () => {
    expect(volumeCorrectedBuildUp(8000, 3744, 25)).toBeCloseTo(53.4, 1);
  });
});

describe('time to the low-air warning', () => {
  it('at 2 psi a minute from 118 psi to 60 psi is 29 minutes', () => {
    const { figures } = judged('us-cdl-single', 'static-leakage', hold([120, 120], [119, 118], 60), {}, SMALLEST);
    expect(figures.timeToWarning?.value).toBeCloseTo(29, 9);
    expect(figures.timeToWarning?.unit).toBe('min');
    // Relative uncertainty of the rate: 0.8165 ÷ 2.
    expect(figures.timeToWarning?.uncertainty).toBeCloseTo((29 * Math.sqrt(2 / 3)) / 2, 9);
  });
});
