import { describe, expect, it } from 'vitest';
import { combine, dialUncertainty, rectangular } from '../../src/judging/uncertainty.ts';
import { ENGINE_31, hold, judged, reading } from '../unit/judging/cases.ts';

describe('uncertainty by the GUM (JCGM 100:2008)', () => {
  it('4.3.7: a value that lies anywhere within ±a has the standard uncertainty a ÷ √3', () => {
    expect(rectangular(1)).toBeCloseTo(1 / Math.sqrt(3), 12);
    // 4.3.7 gives u² = a² ÷ 3.
    expect(rectangular(6) ** 2).toBeCloseTo(12, 12);
  });

  it('4.3.7, example 1 (quoted from memory): an error of at most 0.40 × 10⁻⁶ gives u = 0.23 × 10⁻⁶', () => {
    expect(rectangular(0.4)).toBeCloseTo(0.23, 2);
  });

  it('4.3.7, example 2 (quoted from memory): a voltmeter with bounds of ±15 µV gives u = 8.7 µV', () => {
    expect(rectangular(15)).toBeCloseTo(8.7, 1);
  });

  it('F.2.2.1: an indication of resolution δx has the standard uncertainty 0.29 δx', () => {
    expect(dialUncertainty(1)).toBeCloseTo(0.29, 2);
    expect(dialUncertainty(1) ** 2).toBeCloseTo(1 / 12, 12);
  });

  it('5.1.2: uncorrelated contributions add in quadrature', () => {
    expect(combine(3, 4)).toBe(5);
  });

  it('6.2 and 6.3.3: a drop between two readings of a 1 psi dial has U = 2 × √(2/12) = 0.816 psi', () => {
    const { figures } = judged('fire-practice', 'static-leakage', hold([120, 120], [119, 119], 60));
    expect(figures.primaryDrop?.uncertainty).toBeCloseTo(Math.sqrt(2 / 3), 12);
    expect(figures.primaryRate?.uncertainty).toBeCloseTo(Math.sqrt(2 / 3), 12);
  });

  it('5.1.2: the rate of a hold of 120 s has half the uncertainty of one of 60 s', () => {
    const { figures } = judged('fire-practice', 'static-leakage', hold([120, 120], [119, 119], 120));
    expect(figures.secondaryRate?.uncertainty).toBeCloseTo(Math.sqrt(2 / 3) / 2, 12);
  });

  it('F.2.2.1: each dial has its own resolution', () => {
    const rig = {
      ...ENGINE_31,
      resolution: { primary: { value: 2, unit: 'psi' as const }, secondary: { value: 10, unit: 'kPa' as const } },
    };
    const { figures } = judged('fire-practice', 'governor-cut-out', [reading(120, 118)], {}, rig);
    expect(figures.primary?.uncertainty).toBeCloseTo(2 / Math.sqrt(3), 12);
    // 10 kPa = 1.4504 psi (NIST SP 811, B.8).
    expect(figures.secondary?.uncertainty).toBeCloseTo(1.4504 / Math.sqrt(3), 4);
  });
});
