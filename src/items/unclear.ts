import type { Item, ItemPlace } from './item.ts';
import { tellsOfTrouble } from './trouble.ts';

/** A callout as far as it matters here. */
export interface Uttered {
  readonly heard: string;
  readonly source: string;
  /** The step it was called in. */
  readonly step: string;
  readonly note?: true;
  readonly meaning?: { readonly command?: string; readonly items?: readonly { readonly item: string }[] };
}

/** What was said at a place, or of its items, in words that mean nothing: it may have been a defect. */
export interface Unclear {
  /** By item; it stands until the item is corrected in so many words, or in a live check named again. */
  readonly items: Readonly<Record<string, readonly string[]>>;
  /** Of no item or in a note, in the words of a defect. */
  readonly bad: readonly string[];
  /** Anything else that was written. */
  readonly rest: readonly string[];
}

/**
 * See `Unclear`. `live`: whoever spoke saw that it was not taken, and could say it again; what tells of a defect is told of then, too, and
 * what names no item is not held against it, since an ear may have made it of noise.
 */
export function unclearAt(place: ItemPlace, callouts: readonly Uttered[], live: boolean): Unclear {
  const items: Record<string, readonly string[]> = {};
  const bad: string[] = [];
  const rest: string[] = [];
  for (const { heard, source, step, note, meaning } of callouts) {
    if (note === true) {
      // Free words, and no later good word takes back a defect that was written down with intent.
      if (isAdverse(place, heard) && (step === place.id || itemsNamed(place, heard, true).length > 0)) bad.push(heard);
      continue;
    }
    for (const { item } of meaning?.items ?? []) {
      const before = items[item];
      if (before === undefined) continue;
      const again = live && itemsNamed({ items: place.items }, heard).some(({ id }) => id === item);
      if (!again && meaning?.command !== 'correction') continue;
      rest.push(...before.filter((words) => tells(place, words) && !rest.includes(words)));
      items[item] = [];
    }
    if (meaning !== undefined) continue;
    const adverse = isAdverse(place, heard);
    const named = itemsNamed(place, heard, adverse);
    for (const { id } of named) items[id] = [...(items[id] ?? []), heard];
    if (named.length > 0 || step !== place.id) continue;
    const isTold = tells(place, heard);
    if (source !== 'voice') (isTold ? bad : rest).push(heard);
    else if (isTold && live) rest.push(heard);
  }
  return { items, bad, rest };
}

/** True for words in which a defect of something at the place is said: "left tire flat". */
function isAdverse({ items }: ItemPlace, heard: string): boolean {
  return tellsOfTrouble(
    heard,
    items.flatMap((item) => item.bad.flatMap((way) => way.words)),
  );
}

/** True for a defect, or a value of nobody knows what: "two pounds". */
function tells(place: ItemPlace, heard: string): boolean {
  const words = plain(heard);
  const units = place.items.flatMap(({ measure }) => measure?.said ?? []);
  return isAdverse(place, heard) || units.some((unit) => words.includes(` ${unit} `));
}

/** The items of a place that words name, where they say more than the name; `alone`: or the name itself says it, “fluid leaks”. */
export function itemsNamed(
  { items, groups = [] }: Pick<ItemPlace, 'items' | 'groups'>,
  heard: string,
  alone = false,
): readonly Item[] {
  const words = inSingular(plain(heard));
  const found = items.flatMap((item) => {
    const all = groups.filter((group) => group.items.includes(item.id)).flatMap(({ names }) => names);
    return [...item.names, ...(item.single ?? []), ...all]
      .map((name) => ({ item, name: inSingular(name) }))
      .filter(({ name }) => words.includes(` ${name} `) && (alone || words.trim() !== name));
  });
  // "Seat belts" names no seat.
  const own = found.filter(
    ({ name }) => !found.some((other) => other.name !== name && ` ${other.name} `.includes(` ${name} `)),
  );
  return [...new Set(own.map(({ item }) => item))];
}

function plain(heard: string): string {
  return ` ${heard
    .toLowerCase()
    .replace(/['\u2019]s\b/g, ' is')
    .replace(/[^a-z']+/g, ' ')
    .trim()} `;
}

/** “The belt is frayed” is said of the belts. */
function inSingular(words: string): string {
  return words.replace(/\b([a-z]{3,})s\b/g, '$1');
}
