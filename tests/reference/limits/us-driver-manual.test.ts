import { describe } from 'vitest';
import { holdsTo } from './published.ts';

/* US model commercial driver manual: section 5 says "less than" of static leakage, and fails applied leakage above. */
describe('the US driver manual', () => {
  holdsTo('CDL model manual section 5', 'seen', [
    { profile: 'us-cdl-single', test: 'static-leakage', below: 2 },
    { profile: 'us-cdl-combination', test: 'static-leakage', below: 3 },
    { profile: 'us-cdl-single', test: 'applied-leakage', atMost: 3 },
    { profile: 'us-cdl-combination', test: 'applied-leakage', atMost: 4 },
    { profile: 'us-cdl-single', test: 'low-air-warning', atLeast: 60 },
    { profile: 'us-cdl-single', test: 'spring-brake-activation', atLeast: 20 },
    { profile: 'us-cdl-single', test: 'spring-brake-activation', atMost: 45 },
    { profile: 'us-cdl-single', test: 'build-up', atMost: 45, rise: [85, 100] },
  ]);

  // The older edition fails static leakage above 2; newer ones have the warning before 55.
  holdsTo('CDL manual section 11', 'seen', [
    { profile: 'us-cdl-inspection', test: 'static-leakage', atMost: 2 },
    { profile: 'us-cdl-inspection', test: 'applied-leakage', atMost: 3 },
    { profile: 'us-cdl-inspection', test: 'low-air-warning', atLeast: 55 },
    { profile: 'us-cdl-inspection', test: 'spring-brake-activation', atMost: 40 },
    { profile: 'us-cdl-inspection', test: 'spring-brake-activation', atLeast: 20 },
    { profile: 'us-cdl-inspection', test: 'governor-cut-out', atLeast: 120 },
    { profile: 'us-cdl-inspection', test: 'governor-cut-out', atMost: 140 },
  ]);
});
