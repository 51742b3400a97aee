import type { CheckEvent, StartEvent } from './event.ts';
import type { Advance, CheckState } from './state.ts';

/** The first state of a check: its first fitted step has begun, and its brief is the first answer. */
export function startCheck(start: StartEvent): Advance {
  throw new Error(`not yet: ${start.type}`);
}

/** The state after one more event. Never throws; an event that makes no sense in this state changes nothing but `now`. */
export function advance(state: CheckState, event: CheckEvent): Advance {
  throw new Error(`not yet: ${state.phase} ${event.type}`);
}

/**
 * The state that a stored log leads to. The first event is the `start`.
 * Throws when it is not: a log without its start is not a log of a check.
 */
export function replay(events: readonly CheckEvent[]): CheckState {
  throw new Error(`not yet: ${String(events.length)}`);
}
