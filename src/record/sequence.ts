import type { Fault } from './fault.ts';
import type { Entry } from './log.ts';

/** An entry at its place in the file; `sound` when its digest is that of its contents. */
export interface Placed {
  readonly entry: Entry;
  readonly place: number;
  readonly sound: boolean;
}

/** An entry and the number that it has by right: its own when it is sound, else the one its place suggests. */
interface Numbered extends Placed {
  readonly number: number;
}

/**
 * What is wrong with the order of the entries: edited, duplicated, swapped and dropped ones, and entries that were replaced
 * as a whole, which shows in the entry after them. `first` is the digest that the first entry is chained to.
 */
export function orderFaults(placed: readonly Placed[], first: string): Fault[] {
  const faults: Fault[] = [];
  const numbered = numberAll(placed, faults);
  const inOrder = numbered.toSorted((a, b) => a.number - b.number);
  for (const [at, { place, number }] of numbered.entries()) {
    if (inOrder[at]?.place !== place) {
      faults.push({ kind: 'swapped', entry: place, what: `Entry ${number} stands out of order, in place ${place}.` });
    }
  }
  inOrder.forEach((here, at) => faults.push(...linkFaults(inOrder[at - 1], here, first)));
  return faults;
}

/** Tells edited and duplicated entries, and gives each other one its number. */
function numberAll(placed: readonly Placed[], faults: Fault[]): Numbered[] {
  const sound = new Set(placed.filter((each) => each.sound).map(({ entry }) => entry.index));
  const taken = new Set<number>();
  const numbered: Numbered[] = [];
  for (const each of placed) {
    const { entry, place } = each;
    if (!each.sound)
      faults.push({
        kind: 'edited',
        entry: place,
        what: `Entry ${place} was edited: its digest is not that of what it says.`,
      });
    const next = (numbered.at(-1)?.number ?? -1) + 1;
    const number = each.sound || sound.has(next) ? entry.index : next;
    if (taken.has(number)) {
      // An edited entry that takes another's number is told already.
      if (each.sound)
        faults.push({
          kind: 'duplicated',
          entry: place,
          what: `Entry ${number} is there twice; the second time in place ${place}.`,
        });
      continue;
    }
    taken.add(number);
    numbered.push({ ...each, number });
  }
  return numbered;
}

function linkFaults(before: Numbered | undefined, here: Numbered, first: string): Fault[] {
  const expected = (before?.number ?? -1) + 1;
  if (here.number > expected) return [missing(expected, here.number - 1)];
  if (!here.sound || before?.sound === false) return [];
  if (here.entry.previous === (before?.entry.digest ?? first)) return [];
  if (before === undefined) {
    return [{ kind: 'header-edited', what: 'The header was edited: the first entry is chained to another one.' }];
  }
  return [
    {
      kind: 'edited',
      entry: before.place,
      what: `Entry ${before.number} was replaced: the entry after it is chained to another one.`,
    },
  ];
}

/** Entries `from` to `to` are not there. */
export function missing(from: number, to: number): Fault {
  return {
    kind: 'dropped',
    entry: from,
    what: from === to ? `Entry ${from} is missing.` : `Entries ${from} to ${to} are missing.`,
  };
}
