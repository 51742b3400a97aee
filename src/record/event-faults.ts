import type { CheckEvent } from '../check/event.ts';
import { advance, startCheck } from '../check/machine.ts';
import type { CheckHead } from './record-store.ts';
import type { Fault } from './fault.ts';
import { isCheckEvent, type LogFile } from './log.ts';

/** The faults of the events, and the verdict that replaying them gives; absent of a check that was not ended. */
export interface Replayed {
  readonly faults: readonly Fault[];
  readonly verdict?: NonNullable<CheckHead['verdict']>;
}

/** Events that no check of this program has: a second start, times before the start, what cannot be replayed. */
export function eventFaults({ entries }: Pick<LogFile, 'entries'>): Replayed {
  const events = entries.flatMap(({ event }, place) => (isCheckEvent(event) ? [{ event, place }] : []));
  const faults = events.flatMap(({ event, place }, at) => {
    if (event.type === 'start' && at > 0) return [fault(place, 'is a second start.')];
    const end = event.type === 'callout' ? event.end : event.at;
    if (!(event.at >= 0)) return [fault(place, `has a time before the start (${event.at} ms).`)];
    return end >= event.at ? [] : [fault(place, 'ends before it begins.')];
  });
  const { faults: more, ...rest } = replayed(events);
  return { faults: [...faults, ...more], ...rest };
}

function replayed(events: readonly { readonly event: CheckEvent; readonly place: number }[]): Replayed {
  const [first, ...rest] = events;
  // That a log lacks its start is told already.
  if (first?.event.type !== 'start') return { faults: [] };
  let at = first.place;
  try {
    let { state } = startCheck(first.event);
    for (const { event, place } of rest) {
      at = place;
      ({ state } = advance(state, event));
    }
    return { faults: [], ...(state.verdict === undefined ? {} : { verdict: state.verdict }) };
  } catch {
    return { faults: [fault(at, 'cannot be replayed: no check of this program could have gone on there.')] };
  }
}

function fault(entry: number, what: string): Fault {
  return { kind: 'event', entry, what: `Entry ${entry} ${what}` };
}
