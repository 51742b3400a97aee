import type { Ms } from '../units/time.ts';
import { announcements, countsAloud, runningHold } from './hold.ts';
import { currentStep } from './needs.ts';
import { PAIR_MS } from './readings.ts';
import type { CheckState } from './state.ts';

/** When the check next wants to be told that time has passed (see `TimeEvent`); undefined when it waits for nothing. */
export function nextDeadline(state: CheckState): Ms | undefined {
  const { half } = state.progress;
  const pair = half === undefined || half.asked ? undefined : half.reading.end + PAIR_MS;
  const count = nextAnnouncement(state);
  if (pair === undefined || count === undefined) return pair ?? count;
  return Math.min(pair, count);
}

function nextAnnouncement(state: CheckState): Ms | undefined {
  if (state.pending !== undefined) return undefined;
  const hold = runningHold(currentStep(state), state.progress, state.start.rig);
  return hold === undefined ? undefined : announcements(hold, countsAloud(state))[state.progress.announced]?.at;
}
