import type { Plan } from '../check/plan.ts';
import type { LimitProfile } from '../judging/profile.ts';

/**
 * A plan and a profile with holds of `seconds`, so that a check of a recording takes less sound. The limits stay what
 * they are per 60 s; such a profile is for trials only and says so.
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
      tests: profile.tests.map((test) => (test.holdSeconds === undefined ? test : { ...test, holdSeconds: seconds })),
    },
  };
}
