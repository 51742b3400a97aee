import { describe, expect, it } from 'vitest';
import type { Verdict } from '../../../src/judging/result.ts';
import { judged, reading, rise } from '../../unit/judging/cases.ts';
import { FINE } from './published.ts';

describe('WA Road Traffic (Vehicles) Regulations 2014 r. 334', () => {
  it('spring brakes do not come on before the warning', () => {
    const earlier = { 'low-air-warning': [reading(58, 60)] };
    const at = (valve: number): Verdict =>
      judged('au-wa', 'spring-brake-activation', [reading(valve, valve)], { earlier }, FINE).verdict;
    expect([at(57), at(58), at(59)]).toEqual(['pass', 'fail', 'fail']);
  });

  it('empty to 80 % of cut-out in 5 min', () => {
    const earlier = { 'governor-cut-out': [reading(125, 125)] };
    const at = (seconds: number): Verdict =>
      judged('au-wa', 'build-up', rise([0, 0], [100, 100], seconds), { earlier }, FINE).verdict;
    expect([at(299), at(301)]).toEqual(['pass', 'fail']);
  });
});

describe('New Zealand VIRM 5-2', () => {
  it('from the warning to maximum in 3 min', () => {
    const earlier = { 'governor-cut-out': [reading(120, 120)], 'low-air-warning': [reading(60, 60)] };
    const at = (seconds: number): Verdict =>
      judged('nz', 'build-up', rise([60, 60], [120, 120], seconds), { earlier }, FINE).verdict;
    expect([at(179), at(181)]).toEqual(['pass', 'fail']);
  });
});
