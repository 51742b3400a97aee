import { CLOSING_BAND } from '../judging/hold.ts';
import type { RigSettings } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import type { RunningHold } from './answer.ts';
import { conditionsMet } from './needs.ts';
import type { Step } from './plan.ts';
import type { CheckState, Progress } from './state.ts';

/** Needles whose words begin this long before the end of a hold close it; sooner, they are a reading within it. */
export const CLOSING_BAND_MS: Ms = CLOSING_BAND * 1000;
/** When the needles that close a hold are asked for once more. They count all the same, by their rate. */
const REMIND_MS: Ms = 20_000;
/** A first reading stands when the last condition of the hold is called no later than this after it. */
export const CONDITION_MS: Ms = 10_000;

/** The hold that runs: from the end of the first reading's words, once its conditions are met; undefined when none does. */
export function runningHold(step: Step | undefined, progress: Progress, rig: RigSettings): RunningHold | undefined {
  const opening = progress.readings[0];
  if (step?.kind !== 'hold' || step.holdSeconds === undefined || opening === undefined) return undefined;
  if (progress.readings.length > 1 || progress.over === true || !conditionsMet(step, progress, rig)) return undefined;
  return { start: opening.end, due: opening.end + step.holdSeconds * 1000 };
}

/** What is said during a hold: how much is left, and `due` when it is over, once more when the needles did not come. */
export interface Announcement {
  readonly at: Ms;
  readonly say: 'left' | 'due';
}

const COUNT_ALOUD: readonly number[] = [30, 10, 5, 4, 3, 2, 1];

/** The announcements of a hold in order of time; `Progress.announced` of them are behind us. */
export function announcements({ start, due }: RunningHold, countAloud: boolean): Announcement[] {
  const counts = countAloud ? COUNT_ALOUD.filter((left) => due - left * 1000 > start) : [];
  return [
    ...counts.map((left): Announcement => ({ at: due - left * 1000, say: 'left' })),
    { at: due, say: 'due' },
    { at: due + REMIND_MS, say: 'due' },
  ];
}

export function countsAloud(state: CheckState): boolean {
  return state.start.settings?.countAloud !== false;
}
