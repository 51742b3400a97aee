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
  /** The last value; a worse one sticks until corrected. */
  readonly value?: number;
  /** What was taken back in so many words. */
  readonly corrected?: readonly string[];
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
  /** A value that cannot be. */
  | { readonly is: 'impossible'; readonly value: number; readonly max: number }
  /** The item has no such state. */
  | { readonly is: 'unknown' };

/** What becomes of an item when `spoken` is said of it. */
export function takeItem(item: Item, before: ItemSaid | undefined, spoken: SpokenItem, saying: Saying): Taken {
  const { measure } = item;
  const { value } = spoken;
  if (spoken.state === 'value') {
    if (measure === undefined || value === undefined) return { is: 'unknown' };
    if (value > measure.max || value < 0) return { is: 'impossible', value, max: measure.max };
  }
  const isBad = waysOf(item).some(({ id }) => id === spoken.state);
  const held = before === undefined ? undefined : badWords(item, before);
  const base: ItemSaid =
    saying.corrects || before === undefined
      ? { at: saying.at, heard: saying.heard, bad: [] }
      : { ...without(before, 'skipped', 'absent'), at: saying.at, heard: saying.heard };
  const told =
    held === undefined || !saying.corrects ? (before?.corrected ?? []) : [...(before?.corrected ?? []), held];
  const kept: ItemSaid = {
    ...base,
    ...(told.length === 0 ? {} : { corrected: told }),
    ...(saying.unconfirmed === true ? { unconfirmed: true } : {}),
  };
  if (isBad) return taken({ ...without(kept, 'good', 'repaired'), bad: [...new Set([...base.bad, spoken.state])] });
  switch (spoken.state) {
    case 'value': {
      if (value === undefined) return { is: 'unknown' };
      const sticks = !saying.corrects && base.value !== undefined && belowLimit(item, base.value) !== undefined;
      if (held !== undefined && sticks && value > base.value) return { is: 'sticks', held };
      return taken({ ...kept, value });
    }
    case 'good':
    case 'repaired':
    case 'absent':
    case 'skipped':
      if (held !== undefined && !saying.corrects) return { is: 'sticks', held };
      if (spoken.state === 'absent' && item.mayLack !== true) return { is: 'unknown' };
      if (spoken.state === 'skipped')
        return taken({ ...without(kept, 'good', 'repaired'), skipped: saying.reason ?? 'no reason given' });
      return taken({ ...kept, [spoken.state]: true });
    default:
      return { is: 'unknown' };
  }
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

/** The items of a place of which nothing was said; a skip is an answer, silence is none. */
export function leftIn({ items }: Pick<ItemPlace, 'items'>, said: ItemsSaid): readonly Item[] {
  return items.filter(({ id }) => said[id] === undefined);
}
