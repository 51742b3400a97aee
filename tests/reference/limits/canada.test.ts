import { describe, expect, it } from 'vitest';
import { judged, rise } from '../../unit/judging/cases.ts';
import { holdsTo } from './published.ts';

describe('Ontario', () => {
  holdsTo('MTO handbooks', 'seen', [
    { profile: 'canada-ontario', test: 'applied-leakage', atMost: 21, unit: 'kPa' },
    { profile: 'canada-ontario-class-a', test: 'applied-leakage', atMost: 28, unit: 'kPa' },
    { profile: 'canada-ontario', test: 'low-air-warning', atLeast: 380, unit: 'kPa' },
    // In 2 min at 600 to 900 rpm.
    { profile: 'canada-ontario', test: 'build-up', atMost: 120, rise: [85, 100], engineSpeed: 'idle' },
    { profile: 'canada-ontario-class-a', test: 'build-up', atMost: 120, rise: [85, 100], engineSpeed: 'idle' },
  ]);
  holdsTo('MTO truck handbook 6-1-4', 'seen', [
    { profile: 'canada-ontario', test: 'governor-cut-out', atMost: 145 },
    { profile: 'canada-ontario', test: 'governor-cut-in', atLeast: 80 },
  ]);

  it('asks for the build-up at 600 to 900 rpm: a faster engine can fail it, not pass it', () => {
    const at = (seconds: number) =>
      judged('canada-ontario', 'build-up', rise([85, 85], [100, 100], seconds), { engineSpeed: 'operating' }).verdict;
    expect([at(60), at(130)]).toEqual(['not judged', 'fail']);
  });
});

describe('British Columbia', () => {
  holdsTo('ICBC manual p. 218', 'seen', [
    { profile: 'canada-bc', test: 'governor-cut-out', atLeast: 105 },
    { profile: 'canada-bc', test: 'governor-cut-out', atMost: 135 },
    { profile: 'canada-bc', test: 'governor-cut-in', atLeast: 80 },
    { profile: 'canada-bc', test: 'low-air-warning', atLeast: 60 },
    { profile: 'canada-bc', test: 'spring-brake-activation', atMost: 45 },
    { profile: 'canada-bc', test: 'build-up', atMost: 180, rise: [50, 90] },
  ]);
});

describe('Alberta', () => {
  holdsTo('guide 1877', 'seen', [
    { profile: 'canada-alberta', test: 'low-air-warning', atLeast: 60 },
    { profile: 'canada-alberta', test: 'spring-brake-activation', atLeast: 20 },
    { profile: 'canada-alberta', test: 'build-up', atMost: 180, rise: [50, 90] },
  ]);
});

describe('Saskatchewan', () => {
  holdsTo('SGI air brake pages, combination', 'seen', [
    { profile: 'canada-saskatchewan', test: 'governor-cut-out', atLeast: 120 },
    { profile: 'canada-saskatchewan', test: 'governor-cut-out', atMost: 145 },
    { profile: 'canada-saskatchewan', test: 'governor-cut-in', atLeast: 100 },
    { profile: 'canada-saskatchewan', test: 'applied-leakage', atMost: 4 },
    { profile: 'canada-saskatchewan', test: 'spring-brake-activation', atLeast: 20 },
  ]);
});

describe('Quebec', () => {
  holdsTo('C-24.2 r. 32 s. 166', 'seen', [
    { profile: 'canada-quebec', test: 'applied-leakage', atMost: 40, unit: 'kPa' },
    { profile: 'canada-quebec-two-vehicles', test: 'applied-leakage', atMost: 48, unit: 'kPa' },
    { profile: 'canada-quebec-three-vehicles', test: 'applied-leakage', atMost: 62, unit: 'kPa' },
    { profile: 'canada-quebec', test: 'low-air-warning', atLeast: 380, unit: 'kPa' },
  ]);
});
