import type { RigSettings } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import type { RunningHold } from './answer.ts';
import { conditionsMet } from './needs.ts';
import type { Step } from './plan.ts';
import type { CheckState, Progress } from './state.ts';

/** A closing reading whose words begin later than this after the hold was over is too late: the hold is repeated. */
export const LATE_MS: Ms = 15_000;
/** A first reading stands when the last condition of the hold is called no later than this after it. */
export const CONDITION_MS: Ms = 10_000;
/** A reading may be on its way when its time is up: the lateness is announced, and only announced, after this. */
const UNDERWAY_MS: Ms = 5_000;

/** The hold that runs: from the end of the first reading's words, once its conditions are met; undefined when none does. */
export function runningHold(step: Step | undefined, progress: Progress, rig: RigSettings): RunningHold | undefined {
  const opening = progress.readings[0];
  if (step?.kind !== 'hold' || step.holdSeconds === undefined || opening === undefined) return undefined;
  if (progress.readings.length > 1 || !conditionsMet(step, progress, rig)) return undefined;
  return { start: opening.end, due: opening.end + step.holdSeconds * 1000 };
}

/** What is said during a hold: how much is left, `due` when it is over, `late` when the reading did not come. */
export interface Announcement {
  readonly at: Ms;
  readonly say: 'left' | 'due' | 'late';
}

const COUNT_ALOUD: readonly number[] = [30, 5, 4, 3, 2, 1];

/** The announcements of a hold in order of time; `Progress.announced` of them are behind us. */
export function announcements({ start, due }: RunningHold, countAloud: boolean): Announcement[] {
  const counts = countAloud ? COUNT_ALOUD.filter((left) => due - left * 1000 > start) : [];
  return [
    ...counts.map((left): Announcement => ({ at: due - left * 1000, say: 'left' })),
    { at: due, say: 'due' },
    { at: due + LATE_MS + UNDERWAY_MS, say: 'late' },
  ];
}

export function countsAloud(state: CheckState): boolean {
  return state.start.settings?.countAloud !== false;
}

/** True when the operator has already been told that the hold has to be repeated. */
export function isLateSaid(state: CheckState, hold: RunningHold): boolean {
  return state.progress.announced >= announcements(hold, countsAloud(state)).length;
}
