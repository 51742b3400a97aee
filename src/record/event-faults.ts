import type { CheckEvent } from '../check/event.ts';
import { advance, startCheck } from '../check/machine.ts';
import type { Fault } from './fault.ts';
import { isCheckEvent, type LogFile } from './log.ts';

/** Events that no check of this program has: a second start, times before the start, what cannot be replayed. */
export function eventFaults({ entries }: Pick<LogFile, 'entries'>): Fault[] {
  const events = entries.flatMap(({ event }, place) => (isCheckEvent(event) ? [{ event, place }] : []));
  const faults = events.flatMap(({ event, place }, at) => {
    if (event.type === 'start' && at > 0) return [fault(place, 'is a second start.')];
    const end = event.type === 'callout' ? event.end : event.at;
    if (!(event.at >= 0)) return [fault(place, `has a time before the start (${event.at} ms).`)];
    return end >= event.at ? [] : [fault(place, 'ends before it begins.')];
  });
  return [...faults, ...replayFault(events)];
}

function replayFault(events: readonly { readonly event: CheckEvent; readonly place: number }[]): Fault[] {
  const [first, ...rest] = events;
  // That a log lacks its start is told already.
  if (first?.event.type !== 'start') return [];
  let at = first.place;
  try {
    let { state } = startCheck(first.event);
    for (const { event, place } of rest) {
      at = place;
      ({ state } = advance(state, event));
    }
    return [];
  } catch {
    return [fault(at, 'cannot be replayed: no check of this program could have gone on there.')];
  }
}

function fault(entry: number, what: string): Fault {
  return { kind: 'event', entry, what: `Entry ${entry} ${what}` };
}
