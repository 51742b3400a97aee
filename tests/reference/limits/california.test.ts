import { describe } from 'vitest';
import { holdsTo } from './published.ts';

/* "Not more than" 2, 3 and 5 psi static and 3, 4 and 6 applied for one, two and three vehicles; cut-out before 130. */
describe('California', () => {
  holdsTo('California handbook (2013) pp. 82-99', 'seen', [
    { profile: 'california-cdl', test: 'static-leakage', atMost: 2 },
    { profile: 'california-cdl-two-vehicles', test: 'static-leakage', atMost: 3 },
    { profile: 'california-cdl-three-vehicles', test: 'static-leakage', atMost: 5 },
    { profile: 'california-cdl', test: 'applied-leakage', atMost: 3 },
    { profile: 'california-cdl-two-vehicles', test: 'applied-leakage', atMost: 4 },
    { profile: 'california-cdl-three-vehicles', test: 'applied-leakage', atMost: 6 },
    { profile: 'california-cdl', test: 'spring-brake-activation', atLeast: 20 },
    { profile: 'california-cdl', test: 'spring-brake-activation', atMost: 45 },
    { profile: 'california-cdl', test: 'governor-cut-out', below: 130 },
    { profile: 'california-cdl', test: 'governor-cut-in', atLeast: 85 },
  ]);
  holdsTo('California handbook; Vehicle Code 26506', 'seen', [
    { profile: 'california-cdl', test: 'low-air-warning', atLeast: 55 },
    { profile: 'california-cdl', test: 'low-air-warning', atMost: 75 },
  ]);
});
