import type { Ms } from '../units/time.ts';
import type { CheckState } from './state.ts';

/** When the check next wants to be told that time has passed (see `TimeEvent`); undefined when it waits for nothing. */
export function nextDeadline(state: CheckState): Ms | undefined {
  throw new Error(`not yet: ${state.phase}`);
}
