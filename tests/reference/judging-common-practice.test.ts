import { describe, expect, it } from 'vitest';
import { judge } from '../../src/judging/judge.ts';
import { ENGINE_31, judged, profileOf, reading } from '../unit/judging/cases.ts';

/* Facts of the trade: common practice, no source. */
describe('common practice', () => {
  it.each([
    ['tug-test', 'rig-held', 'pass'],
    ['tug-test', 'rig-moved', 'fail'],
    ['hand-valve-test', 'hand-valve-held', 'pass'],
    ['hand-valve-test', 'rig-held', 'pass'],
    ['hand-valve-test', 'rig-moved', 'fail'],
    ['service-brake-test', 'straight-stop', 'pass'],
    ['service-brake-test', 'pulled-left', 'fail'],
    ['service-brake-test', 'pulled-right', 'fail'],
  ] as const)('%s: %s is %s under any profile', (test, observed, verdict) => {
    for (const profile of ['fire-practice', 'us-cdl-single', 'canada-quebec']) {
      const result = judge({ test, readings: [], observed }, profileOf(profile), ENGINE_31);
      expect(result.verdict).toBe(verdict);
      expect(result.source?.sure).toBe('practice');
      expect(result.figures).toEqual({});
    }
  });

  it('a governor that cuts out at 125 and in at 100 psi is inside, with a differential of 25 psi', () => {
    const cutOut = [reading(125, 125)];
    expect(judged('fire-practice', 'governor-cut-out', cutOut).verdict).toBe('pass');
    const cutIn = judged('fire-practice', 'governor-cut-in', [reading(100, 100)], {
      earlier: { 'governor-cut-out': cutOut },
    });
    expect(cutIn.verdict).toBe('pass');
    expect(cutIn.figures.differential?.value).toBe(25);
  });

  it('the low-air warning comes before the spring brakes', () => {
    const at = (valve: number, warning: number): string =>
      judged('fire-practice', 'spring-brake-activation', [reading(valve, valve)], {
        earlier: { 'low-air-warning': [reading(warning, warning)] },
      }).verdict;
    expect(at(40, 60)).toBe('pass');
    expect(at(40, 38)).toBe('fail');
    expect(at(40, 40)).toBe('fail');
  });

  it('a low-air warning at 50 psi is too late and one at 80 psi too early', () => {
    expect(judged('fire-practice', 'low-air-warning', [reading(50, 60)]).verdict).toBe('fail');
    expect(judged('fire-practice', 'low-air-warning', [reading(80, 82)]).verdict).toBe('fail');
  });
});
