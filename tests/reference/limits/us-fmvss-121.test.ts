import { describe, expect, it } from 'vitest';
import type { EngineSpeed } from '../../../src/judging/measurement.ts';
import type { Verdict } from '../../../src/judging/result.ts';
import { judged, reading, rise } from '../../unit/judging/cases.ts';
import { FINE, holdsTo } from './published.ts';

describe('49 CFR 571.121', () => {
  holdsTo('49 CFR 571.121 S5.1.1.1', 'seen', [{ profile: 'us-fmvss-121', test: 'governor-cut-in', atLeast: 100 }]);
  holdsTo('49 CFR 571.121 S5.1.5', 'seen', [{ profile: 'us-fmvss-121', test: 'low-air-warning', atLeast: 60 }]);

  it('S5.1.5 speaks of either circuit: one needle below 60 fails, whichever', () => {
    expect(judged('us-fmvss-121', 'low-air-warning', [reading(59, 80)]).verdict).toBe('fail');
    expect(judged('us-fmvss-121', 'low-air-warning', [reading(80, 59)]).verdict).toBe('fail');
    expect(judged('us-fmvss-121', 'low-air-warning', [reading(61, 80)]).verdict).toBe('pass');
  });

  /** Verdict of a rise from 85 to 100 psi in `seconds` on a rig with these capacities, in litres. */
  function builtUp(seconds: number, actual: number, required: number, engineSpeed: EngineSpeed = 'governed'): Verdict {
    const reservoirs = { supply: actual / 2, primary: actual / 4, secondary: actual / 4 };
    const rig = { ...FINE, reservoirs, requiredReservoirs: required };
    return judged('us-fmvss-121', 'build-up', rise([85, 85], [100, 100], seconds), { engineSpeed }, rig).verdict;
  }

  it.each([
    // S5.1.1, as quoted in NHTSA letter 2947o: seconds = actual capacity × 25 ÷ required capacity.
    { actual: 60, required: 60, seconds: 25 },
    { actual: 120, required: 60, seconds: 50 },
    // Ratio at which the formula gives the 45 s of the driver manuals.
    { actual: 108, required: 60, seconds: 45 },
  ])('S5.1.1: $actual l of $required l required give $seconds s', ({ actual, required, seconds }) => {
    const times = [seconds - 0.5, seconds, seconds + 0.5];
    expect(times.map((time) => builtUp(time, actual, required))).toEqual(['pass', 'marginal', 'fail']);
  });

  it('S5.1.1 holds at the maximum speed that the maker recommends: a slower engine can pass it, not fail it', () => {
    expect(builtUp(24, 60, 60, 'operating')).toBe('pass');
    expect(builtUp(26, 60, 60, 'operating')).toBe('not judged');
    expect(builtUp(26, 60, 60, 'idle')).toBe('not judged');
  });
});
