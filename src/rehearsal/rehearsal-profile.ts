import type { LimitProfile } from '../judging/profile.ts';

/**
 * The least governor differential asked for in a rehearsal, psi. Ours, no source: no limit profile has one, and a governor with too small
 * a differential could not be called without it.
 */
const LEAST_DIFFERENTIAL = 15;

/** The profile with a limit for the governor differential, unless it has one of its own. */
export function withDifferential(profile: LimitProfile): LimitProfile {
  const limit = {
    figure: 'differential',
    min: LEAST_DIFFERENTIAL,
    strict: false,
    unit: 'psi',
    condition: 'set for rehearsals',
    source: { document: 'convention of this program for rehearsals, no source', sure: 'practice' },
  } as const;
  const tests = profile.tests.map((entry) =>
    entry.test !== 'governor-cut-in' || entry.limits.some(({ figure }) => figure === 'differential')
      ? entry
      : { ...entry, limits: [...entry.limits, limit] },
  );
  const known = tests.some(({ test }) => test === 'governor-cut-in');
  return { ...profile, tests: known ? tests : [...tests, { test: 'governor-cut-in', limits: [limit] }] };
}
