import { changed } from '../units/changed.ts';
import { changedState, type CalloutRecord, type CheckState } from './state.ts';

type Callouts = CheckState['callouts'];

/** Callouts of a replay under way: nobody keeps an earlier state of it, so that they grow in place and a log of any length stays linear. */
const growing = new WeakSet<CalloutRecord[]>();

/** The state, so that what `advance` makes of it is the only one that is kept from now on; until `settled`. */
export function growingInPlace(state: CheckState): CheckState {
  const callouts = [...state.callouts];
  growing.add(callouts);
  return changedState(state, { callouts });
}

/** Ends what `growingInPlace` began: from now on every state is kept as it is. */
export function settled(state: CheckState): CheckState {
  growing.delete(state.callouts as CalloutRecord[]);
  return state;
}

export function withCallout(callouts: Callouts, record: CalloutRecord): Callouts {
  if (!growing.has(callouts as CalloutRecord[])) return [...callouts, record];
  (callouts as CalloutRecord[]).push(record);
  return callouts;
}

/** The place of the callout under way among the callouts. */
export function placeOfLast({ callouts }: Pick<CheckState, 'callouts'>): number {
  return callouts.length - 1;
}

/** So many callouts are looked at for the last one that was taken: talk that is older than that is not gone back over. */
const LOOKED_AT = 8;

/** The last callout before the one under way that was taken. */
export function takenBefore({ callouts }: Pick<CheckState, 'callouts'>): CalloutRecord | undefined {
  return callouts.slice(-1 - LOOKED_AT, -1).findLast(({ taken }) => taken);
}

/** The callouts with `more` noted of the one at `index`. */
export function withMark(callouts: Callouts, index: number, more: Partial<CalloutRecord>): Callouts {
  const record = callouts[index];
  if (record === undefined) return callouts;
  const marked = growing.has(callouts as CalloutRecord[]) ? (callouts as CalloutRecord[]) : [...callouts];
  marked[index] = changed(record, more);
  return marked;
}
