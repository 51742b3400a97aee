import type { LevelId } from '../../../rehearsal/level.ts';

/** What is chosen for a walk on paper. */
export interface WalkChoice {
  readonly trainee: string;
  readonly planId: string;
  readonly level: LevelId;
  readonly seed: number;
}
