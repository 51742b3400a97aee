import { describe, expect, it } from 'vitest';
import { compare, convert, kindOf } from '../../../src/judging/compare.ts';

describe('comparing values', () => {
  it('takes for equal what only binary representation tells apart', () => {
    expect(compare(0.1 + 0.2, 0.3)).toBe(0);
    expect(compare(1.1 * 3, 3.3)).toBe(0);
    // Noise grows with the value.
    expect(compare(1e6, 1e6 + 1e-4)).toBe(0);
    expect(compare(1e6 + 1e-4, 1e6)).toBe(0);
    expect(compare(0, 1e-10)).toBe(0);
  });

  it('tells apart everything a dial could show', () => {
    expect(compare(2, 2.000001)).toBe(-1);
    expect(compare(2.000001, 2)).toBe(1);
    expect(compare(0, 1e-6)).toBe(-1);
    expect(compare(-1e-6, 0)).toBe(-1);
    expect(compare(1000, 1000.001)).toBe(-1);
  });
});

describe('converting values', () => {
  // Factors: NIST SP 811, appendix B.8.
  it.each([
    [1, 'psi', 'kPa', 6.894757],
    [6.894757, 'kPa', 'psi', 1],
    [3, 'psi/min', 'kPa/min', 20.684271],
    [2, 'min', 's', 120],
    [90, 's', 'min', 1.5],
    [1, 'cfm', 'l/min', 28.31685],
    [283.1685, 'l/min', 'cfm', 10],
    [21, 'kPa', 'kPa', 21],
  ] as const)('%d %s in %s is %d', (value, from, to, expected) => {
    expect(convert(value, from, to)).toBeCloseTo(expected, 4);
  });

  it('never mixes kinds', () => {
    expect(() => convert(1, 'psi', 's')).toThrow('cannot express psi in s');
    expect(kindOf('kPa/min')).toBe('rate');
    expect(kindOf('cfm')).toBe('flow');
    expect(kindOf('%')).toBe('share');
  });
});
