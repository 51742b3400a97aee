import { describe, expect, it } from 'vitest';
import { measuredText } from '../../../src/units/measured.ts';

// JCGM 100:2008, 7.2.6: at most two digits of an uncertainty, and none of the value beyond them.
describe('a figure with its uncertainty', () => {
  it.each([
    [4, 0.82, '4 ± 0.8'],
    [59.2, 48.1, '59 ± 48'],
    [3.25, 0, '3.3'],
    [120, 0.5, '120 ± 0.5'],
  ])('%d with %d is written %s', (value, uncertainty, written) => {
    expect(measuredText(value, uncertainty)).toBe(written);
  });
});
