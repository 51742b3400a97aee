import { placesOf } from '../../src/check/places.ts';
import type { SpokenItem } from '../../src/grammar/meaning.ts';
import { waysOf, type Item } from '../../src/items/item.ts';
import { planOf } from '../support/tube/pre-trip.ts';
import { closePairs, phonesOf, type ClosePair } from './close-phrases.ts';
import { picker } from './hearing-material.ts';

const PLACES = placesOf(planOf('whole-pre-trip'));

/** One thing said of one item at its place. */
export interface Phrase {
  readonly place: string;
  readonly text: string;
  readonly meant: SpokenItem;
}

function phrasesOf(place: string, item: Item): Phrase[] {
  const { id, names, good, measure } = item;
  const states = [
    ...good.map((words) => ({ words, state: 'good' })),
    ...item.bad.flatMap((way) => way.words.map((words) => ({ words, state: way.id }))),
  ];
  const said = names.flatMap((name) =>
    states.map(({ words, state }): Phrase => ({ place, text: `${name} ${words}`, meant: { item: id, state } })),
  );
  if (measure === undefined) return said;
  const number = ['two', 'three', 'four', 'six', 'nine', 'eleven', 'sixteen'];
  const values = [2, 3, 4, 6, 9, 11, 16];
  return [
    ...said,
    ...values.map((value, at): Phrase => ({
      place,
      text: `${names[1] ?? names[0] ?? ''} ${number[at] ?? ''} ${measure.said[0] ?? ''}`,
      meant: { item: id, state: 'value', value },
    })),
  ];
}

/** What is said of an item in its own words and in those that every item has: what is bad, or what passes it. */
function saidOf(place: string, item: Item, is: 'bad' | 'good'): Phrase[] {
  const states =
    is === 'good'
      ? ['good', ...item.good].map((words) => ({ words, state: 'good' }))
      : waysOf(item).flatMap(({ id, words }) => words.map((each) => ({ words: each, state: id })));
  return item.names.flatMap((name) =>
    states.map(({ words, state }): Phrase => ({ place, text: `${name} ${words}`, meant: { item: item.id, state } })),
  );
}

/**
 * What is bad and sounds like what passes its item, the closest first: each pair of states once, by a name drawn from the seed.
 */
export async function closeMaterial(
  count: number,
  seed: number,
  words: readonly string[],
): Promise<readonly ClosePair<Phrase>[]> {
  const phones = await phonesOf(words);
  const pick = picker(seed);
  const byStates = new Map<string, ClosePair<Phrase>[]>();
  for (const { id, items } of PLACES) {
    for (const item of items) {
      for (const pair of closePairs(saidOf(id, item, 'bad'), saidOf(id, item, 'good'), phones)) {
        const states = [pair.bad, pair.good].map((phrase) => statesOnly(item, phrase.text)).join(' | ');
        byStates.set(states, [...(byStates.get(states) ?? []), pair]);
      }
    }
  }
  return [...byStates.values()]
    .flatMap((pairs) => pairs[pick(pairs.length)] ?? [])
    .toSorted((one, other) => one.distance - other.distance)
    .slice(0, count);
}

/** Ways to say of a good word that it is not so. People say these, whether the grammar knows them or not; common practice, no source. */
const DENIALS = ["isn't", "aren't", 'is not', 'are not', 'not', 'not really', 'hardly', 'no longer'];
const OPPOSITES = ['no good', 'unlatched', 'unlocked', 'insecure', 'unsecured', 'uncharged', 'incorrect', 'unclean'];

/** Denials of good words: each word of each denial once, of an item drawn from the seed. */
export function deniedMaterial(count: number, seed: number): readonly Phrase[] {
  const pick = picker(seed);
  const byWords = new Map<string, Phrase[]>();
  for (const { id, items } of PLACES) {
    for (const item of items) {
      for (const good of ['good', ...item.good]) {
        const opposites = OPPOSITES.filter((each) => each.endsWith(good) || each.endsWith(`${good}d`));
        for (const words of [...DENIALS.map((denial) => `${denial} ${good}`), ...opposites]) {
          const text = `${item.names[pick(item.names.length)] ?? ''} ${words}`;
          byWords.set(words, [
            ...(byWords.get(words) ?? []),
            { place: id, text, meant: { item: item.id, state: 'defective' } },
          ]);
        }
      }
    }
  }
  const left = [...byWords.values()].flatMap((phrases) => phrases[pick(phrases.length)] ?? []);
  return Array.from({ length: Math.min(count, left.length) }, () => left.splice(pick(left.length), 1)).flat();
}

/** A phrase without the name of its item. */
function statesOnly({ names }: Item, text: string): string {
  const name = names.toSorted((one, other) => other.length - one.length).find((each) => text.startsWith(`${each} `));
  return text.slice((name?.length ?? -1) + 1);
}

/** Every phrase of the whole pre-trip by its names and the words of its lists, in an order drawn from the seed. */
export function itemMaterial(count: number, seed: number): readonly Phrase[] {
  const left = PLACES.flatMap(({ id, items }) => items.flatMap((item) => phrasesOf(id, item)));
  const pick = picker(seed);
  return Array.from({ length: Math.min(count, left.length) }, () => left.splice(pick(left.length), 1)).flat();
}
