import { describe, expect, it } from 'vitest';
import { profileOf } from '../../unit/judging/cases.ts';
import { holdsTo } from './published.ts';

/* Released 2 and applied 3 psi/min, and 1 more for each trailer; warning at 60 psi where FMVSS 121 applies, 50 for older vehicles. */
describe('the US inspection of vehicles in use', () => {
  holdsTo('49 CFR 570.57', 'seen', [
    { profile: 'us-570-in-use', test: 'governor-cut-out', atMost: 135 },
    { profile: 'us-570-in-use', test: 'governor-cut-in', atLeast: 80 },
    { profile: 'us-570-in-use', test: 'static-leakage', atMost: 2 },
    { profile: 'us-570-in-use-two-vehicles', test: 'static-leakage', atMost: 3 },
    { profile: 'us-570-in-use-three-vehicles', test: 'static-leakage', atMost: 4 },
    { profile: 'us-570-in-use', test: 'applied-leakage', atMost: 3 },
    { profile: 'us-570-in-use-two-vehicles', test: 'applied-leakage', atMost: 4 },
    { profile: 'us-570-in-use-three-vehicles', test: 'applied-leakage', atMost: 5 },
    { profile: 'us-570-in-use', test: 'low-air-warning', atLeast: 60 },
  ]);

  it('has the 45 s of 570.57 after one full application, not for 85 to 100 psi', () => {
    const { tests, notMeasured } = profileOf('us-570-in-use');
    expect(tests.map(({ test }) => test)).not.toContain('build-up');
    expect(notMeasured.map(({ what }) => what).join()).toMatch(/full application.*45 s/);
  });
});

/* Three vehicles; 50 to 90 psi in 5 min. */
describe('Nevada', () => {
  holdsTo('NAC 484D.110', 'seen', [
    { profile: 'us-nevada', test: 'static-leakage', atMost: 5 },
    { profile: 'us-nevada', test: 'applied-leakage', atMost: 6 },
    { profile: 'us-nevada', test: 'build-up', atMost: 300, rise: [50, 90] },
  ]);
});
