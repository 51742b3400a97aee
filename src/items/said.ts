import type { SpokenItem } from '../grammar/meaning.ts';
import type { Ms } from '../units/time.ts';
import { without } from '../units/without.ts';
import { waysOf, type DefectClass, type Item, type ItemPlace } from './item.ts';

/** What is known of an item from all that was said. An item without one was passed over. */
export interface ItemSaid {
  readonly at: Ms;
  readonly heard: string;
  /** Ways in which it was said to be bad; they stick until corrected. */
  readonly bad: readonly string[];
  readonly good?: true;
  readonly repaired?: true;
  readonly absent?: true;
  /** Why it was skipped, in words. */
  readonly skipped?: string;
  /** The lowest value; a higher one is taken in its place by a correction alone. */
  readonly value?: number;
  /** A value that cannot be: it is owed again, whatever else is said. */
  readonly impossible?: number;
  /** What was taken back in so many words, or gave way to a lower value. */
  readonly corrected?: readonly string[];
  /** Which ones of several were called bad, in the words they were called in. */
  readonly ones?: readonly string[];
  /** Taken although the ear was not sure, where nobody could be asked. */
  readonly unconfirmed?: true;
}

/** By item id. */
export type ItemsSaid = Readonly<Record<string, ItemSaid>>;

/** Who said it, when and how. */
export interface Saying {
  readonly at: Ms;
  readonly heard: string;
  /** "Correction, belts tight": takes the place of what was said before. */
  readonly corrects: boolean;
  readonly reason?: string;
  readonly unconfirmed?: true;
}

export type Taken =
  | { readonly is: 'taken'; readonly said: ItemSaid }
  /** What was called as bad is not taken back by the opposite alone. */
  | { readonly is: 'sticks'; readonly held: string }
  /** A value that cannot be; `said` remembers that it was called. */
  | { readonly is: 'impossible'; readonly value: number; readonly max: number; readonly said: ItemSaid }
  /** The item has no such state. */
  | { readonly is: 'unknown' };

/**
 * What becomes of an item when `spoken` is said of it. What was bad sticks until it is corrected by a state, and a value until it is corrected by a
 * value: "correction, left front tire good" takes no tread of 3/32 back.
 */
export function takeItem(item: Item, before: ItemSaid | undefined, spoken: SpokenItem, saying: Saying): Taken {
  const known: ItemSaid = before ?? { at: saying.at, heard: '', bad: [] };
  if (spoken.state === 'value') return takeValue(item, known, spoken.value, saying);
  const { corrects } = saying;
  const held = before === undefined ? undefined : badWords(item, before);
  if (waysOf(item).some(({ id }) => id === spoken.state)) return takeBad(item, known, spoken.state, saying);
  const isSkip = spoken.state === 'skipped';
  const keepsBad = known.value !== undefined && belowLimit(item, known.value) !== undefined;
  if (held !== undefined && (!corrects || isSkip || keepsBad)) return { is: 'sticks', held };
  const kept = told(without(known, 'skipped', 'absent', 'ones'), held === undefined ? [] : [held], saying);
  switch (spoken.state) {
    case 'good':
    case 'repaired':
      return taken({ ...kept, bad: [], [spoken.state]: true });
    case 'absent':
      return item.mayLack === true ? taken({ ...kept, bad: [], absent: true }) : { is: 'unknown' };
    case 'skipped':
      return taken({ ...without(kept, 'good', 'repaired'), skipped: saying.reason ?? 'no reason given' });
    default:
      return { is: 'unknown' };
  }
}

function takeBad(item: Item, known: ItemSaid, way: string, saying: Saying): Taken {
  const before = saying.corrects ? known.bad : [];
  const words = badWords(item, { ...known, bad: before });
  const gone = before.length === 0 || words === undefined ? [] : [words];
  const kept = told(without(known, 'skipped', 'absent', 'good', 'repaired'), gone, saying);
  const bad = [...new Set([...(saying.corrects ? [] : known.bad), way])];
  if (way !== 'one-defective') return taken({ ...kept, bad });
  // "Left headlight out, right headlight out": the second one is no longer one of several.
  const { ones = [] } = known;
  const isAnother = !saying.corrects && ones.length > 0 && (known.at === saying.at || !ones.includes(saying.heard));
  return taken({
    ...kept,
    bad: isAnother ? [...new Set([...bad, 'defective'])] : bad,
    ones: [...new Set([...ones, saying.heard])],
  });
}

/** The lowest of several values stands; a higher one needs a correction, a lower one takes its place and is told of. */
function takeValue(item: Item, known: ItemSaid, value: number | undefined, saying: Saying): Taken {
  const { measure } = item;
  if (measure === undefined || value === undefined) return { is: 'unknown' };
  const valued = (of: number): string => `${String(of)} ${measure.unit}`;
  if (value > measure.max || value < 0)
    return { is: 'impossible', value, max: measure.max, said: { ...known, at: saying.at, impossible: value } };
  const before = known.value;
  if (before !== undefined && value > before && !saying.corrects)
    return { is: 'sticks', held: badWords(item, { ...known, bad: [] }) ?? valued(before) };
  const gone = [known.impossible, before].flatMap((each) => (each === undefined || each === value ? [] : [each]));
  const words = gone.map((each) => badWords(item, { ...known, bad: [], value: each }) ?? valued(each));
  return taken({ ...told(without(known, 'skipped', 'absent', 'impossible'), words, saying), value });
}

/** What is known of an item, with what it was called before and the last words. */
function told(known: ItemSaid, gone: readonly string[], { at, heard, unconfirmed }: Saying): ItemSaid {
  const corrected = [...(known.corrected ?? []), ...gone];
  return {
    ...known,
    at,
    heard,
    ...(corrected.length === 0 ? {} : { corrected }),
    ...(unconfirmed === true ? { unconfirmed: true } : {}),
  };
}

/** "Scratch that": what was called of an item is taken back and owed again. What was bad of it stays in the record; undefined when nothing was. */
export function takeBack(item: Item, said: ItemSaid): ItemSaid | undefined {
  const value = said.value === undefined ? [] : [`${String(said.value)} ${item.measure?.unit ?? ''}`];
  const held = badWords(item, said);
  const gone = [...(said.corrected ?? []), ...(held === undefined ? value : [held])];
  return gone.length === 0 ? undefined : { at: said.at, heard: said.heard, bad: [], corrected: gone };
}

/** True when something was said that says how the item is. */
export function isAnswered({ bad, good, repaired, absent, skipped, value }: ItemSaid): boolean {
  return [good, repaired, absent, skipped, value, bad[0]].some((each) => each !== undefined);
}

function taken(said: ItemSaid): Taken {
  return { is: 'taken', said };
}

/** What is bad of an item, in words: "frayed"; undefined when nothing is. */
export function badWords(item: Item, said: ItemSaid): string | undefined {
  const ways = waysOf(item)
    .filter(({ id }) => said.bad.includes(id))
    .map(({ words, id }) => words[0] ?? id);
  const limit = said.value === undefined ? undefined : belowLimit(item, said.value);
  const value =
    limit === undefined ? [] : [`${String(said.value)} ${item.measure?.unit ?? ''}, below ${String(limit.below)}`];
  const all = [...ways, ...value];
  return all.length === 0 ? undefined : all.join(', ');
}

/** The strictest limit that the value is below. */
export function belowLimit(
  { measure }: Pick<Item, 'measure'>,
  value: number,
): { readonly below: number; readonly class: DefectClass; readonly source: string } | undefined {
  const broken = (measure?.limits ?? []).filter(({ below }) => value < below);
  return broken.find((limit) => limit.class === 'out-of-service') ?? broken[0];
}

/** The items of a place that have no answer: nothing was said of them, or it was taken back. A skip is an answer, silence is none. */
export function leftIn({ items }: Pick<ItemPlace, 'items'>, said: ItemsSaid): readonly Item[] {
  return items.filter(({ id }) => {
    const known = said[id];
    return known === undefined || !isAnswered(known);
  });
}
