import type { TubeRun } from './tube.ts';

/** All that came of a run but for its seal, whose key is made anew each time, as JSON: to be compared between machines. */
export function tellOf(run: TubeRun): string {
  return JSON.stringify({ ...run, log: undefined });
}
