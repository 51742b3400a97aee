import type { LevelId } from '../level.ts';
import type { PastRehearsal } from '../progress.ts';
import type { WalkReport } from './coach-walk.ts';

/** What is kept of a walk on paper, beside the rehearsals of the air brakes. */
export function pastWalk(
  setup: { readonly trainee: string; readonly wall: string; readonly level: LevelId; readonly planId: string },
  { score, places, findings }: WalkReport,
): PastRehearsal {
  return {
    trainee: setup.trainee,
    wall: setup.wall,
    scenario: scenarioOf(setup.planId),
    level: setup.level,
    score,
    steps: places.map(({ step, score: of }) => ({ step, score: of })),
    kinds: findings.map(({ kind }) => kind),
  };
}

/** The id under which the walk of a plan is kept among the scenarios. */
export function scenarioOf(planId: string): string {
  return `pre-trip-${planId}`;
}
