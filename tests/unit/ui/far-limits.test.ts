import { describe, expect, it } from 'vitest';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import type { Limit, LimitProfile } from '../../../src/judging/profile.ts';
import { farLimits } from '../../../src/ui/library/far-limits.ts';

const practice = BUILT_IN_PROFILES.find(({ id }) => id === 'fire-practice')!;

/** Common practice with another limit of the static leakage. */
function withStatic(change: Partial<Limit>): LimitProfile {
  return {
    ...practice,
    tests: practice.tests.map((entry) =>
      entry.test === 'static-leakage'
        ? { ...entry, limits: entry.limits.map((limit) => ({ ...limit, ...change })) }
        : entry,
    ),
  };
}

describe('limits far outside of what documents say', () => {
  it('are named with the nearest one and its document', () => {
    const [line, ...more] = farLimits(withStatic({ max: 200 }), BUILT_IN_PROFILES);
    expect(more).toEqual([]);
    // Driver manuals of Canadian provinces and CDL manuals allow 2 to 4 psi a minute with the brakes released.
    expect(line).toMatch(/Static leakage.*200 psi\/min is far above.*nearest is \d(\.\d)? psi\/min \(.+\)/);
    expect(farLimits(withStatic({ max: 0.1 }), BUILT_IN_PROFILES)[0]).toMatch(/far below/);
    expect(farLimits(withStatic({ max: 1379, unit: 'kPa/min' }), BUILT_IN_PROFILES)).toHaveLength(1);
  });

  it('are not those that are a little stricter or wider, nor any that a document here gives', () => {
    expect(farLimits(withStatic({ max: 1.5 }), BUILT_IN_PROFILES)).toEqual([]);
    expect(farLimits(withStatic({ max: 14, unit: 'kPa/min' }), BUILT_IN_PROFILES)).toEqual([]);
    for (const profile of BUILT_IN_PROFILES) expect(farLimits(profile, BUILT_IN_PROFILES)).toEqual([]);
  });
});
