import { describe } from 'vitest';
import { holdsTo } from './published.ts';

describe('the fire service', () => {
  holdsTo('common practice, no source', 'practice', [
    { profile: 'fire-practice', test: 'pre-start-fill', atLeast: 70 },
    { profile: 'fire-practice', test: 'pre-start-fill', atMost: 80 },
    { profile: 'fire-practice', test: 'governor-cut-out', atMost: 130 },
    { profile: 'fire-practice', test: 'governor-cut-in', atLeast: 85 },
    { profile: 'fire-practice', test: 'static-leakage', atMost: 2 },
    { profile: 'fire-practice', test: 'applied-leakage', atMost: 3 },
    { profile: 'fire-practice', test: 'low-air-warning', atLeast: 55 },
    { profile: 'fire-practice', test: 'low-air-warning', atMost: 75 },
    { profile: 'fire-practice', test: 'spring-brake-activation', atLeast: 20 },
    { profile: 'fire-practice', test: 'spring-brake-activation', atMost: 45 },
    { profile: 'fire-practice', test: 'build-up', atMost: 45, rise: [85, 100] },
  ]);
});
