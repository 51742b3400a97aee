import { describe, expect, it } from 'vitest';
import type { EngineSpeed } from '../../../src/judging/measurement.ts';
import type { Verdict } from '../../../src/judging/result.ts';
import { judged, reading, rise } from '../../unit/judging/cases.ts';
import { FINE, holdsTo } from './published.ts';

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
  const earlier = { 'governor-cut-out': [reading(120, 120)], 'low-air-warning': [reading(60, 60)] };
  const at = (seconds: number, engineSpeed: EngineSpeed): Verdict =>
    judged('nz', 'build-up', rise([60, 60], [120, 120], seconds), { earlier, engineSpeed }, FINE).verdict;

  it('from the warning to maximum in 3 min', () => {
    expect([at(179, 'governed'), at(181, 'governed')]).toEqual(['pass', 'fail']);
  });

  it('at maximum governed speed, or the certifier’s: a slower engine can pass it, not fail it', () => {
    expect([at(179, 'operating'), at(181, 'operating')]).toEqual(['pass', 'not judged']);
  });
});

describe('Australia', () => {
  holdsTo('copies of an inspection manual', 'secondary', [
    { profile: 'au-inspection', test: 'governor-cut-out', atLeast: 720, unit: 'kPa' },
    { profile: 'au-inspection', test: 'governor-cut-in', atLeast: 550, unit: 'kPa' },
    // ADR 35; 350 for older vehicles.
    { profile: 'au-inspection', test: 'low-air-warning', atLeast: 420, unit: 'kPa' },
    // Released 15 and applied 20 kPa/min, and 5 more for each trailer.
    { profile: 'au-inspection', test: 'static-leakage', atMost: 15, unit: 'kPa' },
    { profile: 'au-inspection-two-vehicles', test: 'static-leakage', atMost: 20, unit: 'kPa' },
    { profile: 'au-inspection-three-vehicles', test: 'static-leakage', atMost: 25, unit: 'kPa' },
    { profile: 'au-inspection', test: 'applied-leakage', atMost: 20, unit: 'kPa' },
    { profile: 'au-inspection-two-vehicles', test: 'applied-leakage', atMost: 25, unit: 'kPa' },
    { profile: 'au-inspection-three-vehicles', test: 'applied-leakage', atMost: 30, unit: 'kPa' },
  ]);

  it('cut-out at most 1120 kPa: beyond the dials of 160 psi that are read here, so nothing above 1103 kPa is judged', () => {
    const at = (kPa: number) => judged('au-inspection', 'governor-cut-out', [reading(kPa, kPa, 0, 2, 'kPa')], {}, FINE);
    expect(at(1100)).toMatchObject({
      verdict: 'pass',
      limits: [{ figure: 'cutOut', min: 720, max: 1120, unit: 'kPa' }],
    });
    expect([at(1119).verdict, at(1121).verdict]).toEqual(['not judged', 'not judged']);
  });
});
