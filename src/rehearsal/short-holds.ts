import type { Plan } from '../check/plan.ts';
import type { LimitProfile, TestLimits } from '../judging/profile.ts';

/**
 * A plan and a profile with holds of `seconds`, so that a check of a recording takes less sound. The drop that a hold
 * allows stays the same, so that the rates are scaled; such a profile is for trials only and says so.
 */
export function withHolds(
  plan: Plan,
  profile: LimitProfile,
  seconds: number,
): { readonly plan: Plan; readonly profile: LimitProfile } {
  return {
    plan: {
      ...plan,
      id: `${plan.id}-${seconds}-s`,
      title: `${plan.title}, holds of ${seconds} s`,
      steps: plan.steps.map((step) => (step.kind === 'hold' ? { ...step, holdSeconds: seconds } : step)),
    },
    profile: {
      ...profile,
      id: `${profile.id}-${seconds}-s`,
      title: `${profile.title}, holds of ${seconds} s, for trials only`,
      tests: profile.tests.map((test) => shorten(test, seconds)),
    },
  };
}

function shorten(test: TestLimits, seconds: number): TestLimits {
  if (test.holdSeconds === undefined) return test;
  const scale = test.holdSeconds / seconds;
  const limits = test.limits.map((limit) =>
    limit.figure === 'rate' && limit.max !== undefined ? { ...limit, max: limit.max * scale } : limit,
  );
  return { ...test, holdSeconds: seconds, limits };
}
