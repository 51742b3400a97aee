import { describe, expect, it } from 'vitest';
import { cmuDictionary } from '../../../src/cli/assets/published-model.ts';
import { builtInPlans } from '../../../src/check/built-in-plans.ts';
import { placesOf } from '../../../src/check/places.ts';
import { compile } from '../../../src/grammar/compile.ts';
import { parse } from '../../../src/grammar/parse.ts';
import { PRONUNCIATIONS } from '../../../src/grammar/pronunciations.ts';
import { cueIds } from '../../../src/grammar/select.ts';
import { lexiconOf } from '../../../src/hearing/vosk/model/lexicon.ts';
import { waysOf, type Item } from '../../../src/items/item.ts';
import { ITEMS_RULE, placeRule } from '../../../src/items/items-grammar.ts';
import { grammarOfPlan } from '../../../src/running/grammar-of-plan.ts';
import { loadGrammar } from '../../support/grammar.ts';

const grammar = loadGrammar();
const WALKS = builtInPlans(new Set(cueIds(grammar))).filter((plan) => placesOf(plan).length > 0);
const PRE_TRIP = WALKS.find(({ id }) => id === 'whole-pre-trip')!;
const own = grammarOfPlan(grammar, PRE_TRIP);
const meaning = (text: string, rule = ITEMS_RULE) => parse(own, [rule], text, 'psi');

/** Each phrase of an item with the state that it must mean. */
function phrasesOf(item: Item): { words: string; state: string }[] {
  const { names, good, measure } = item;
  const states = [
    ...['good', ...good].map((words) => ({ words, state: 'good' })),
    ...waysOf(item).flatMap((way) => way.words.map((words) => ({ words, state: way.id }))),
    ...(measure === undefined ? [] : measure.said.map((words) => ({ words: `seven ${words}`, state: 'value' }))),
  ];
  return names.flatMap((name) => states.map(({ words, state }) => ({ words: `${name} ${words}`, state })));
}

describe('the grammar of the items of a plan', () => {
  it.each(WALKS.map((plan) => [plan.id, plan] as const))('hears each phrase of %s as its own item alone', (_, plan) => {
    const walked = grammarOfPlan(grammar, plan);
    const wrong = placesOf(plan).flatMap(({ items }) =>
      items.flatMap((item) =>
        phrasesOf(item).filter(({ words, state }) => {
          const heard = parse(walked, [ITEMS_RULE], words, 'psi')?.items;
          return heard?.length !== 1 || heard[0]?.item !== item.id || heard[0].state !== state;
        }),
      ),
    );
    expect(wrong).toEqual([]);
  });

  it('hears several items in one breath, where the walk goes, and what a whole group is', () => {
    expect(meaning('oil level good, belts frayed and left signal out')?.items).toEqual([
      { item: 'oil', state: 'good' },
      { item: 'belts', state: 'frayed' },
      { item: 'left-signal', state: 'out' },
    ]);
    expect(meaning('left front tread four thirty-seconds')?.items).toEqual([
      { item: 'left-front-tire', state: 'value', value: 4 },
    ]);
    expect(meaning('all lights working')?.items).toHaveLength(9);
    expect(meaning('horn works, next')).toMatchObject({ items: [{ item: 'horn', state: 'good' }], move: 'next' });
    expect(meaning('back to tires')).toEqual({ cues: [], move: 'left-side' });
    expect(meaning('skip, no helper')).toEqual({ cues: [], command: 'skip', reason: 'no-helper' });
    expect(meaning('oil level')).toBeUndefined();
    expect(meaning('horn works', placeRule('engine-compartment'))).toBeUndefined();
  });

  // Everyday contractions; common practice, no source. An ear that was never given “aren't” hears “are”.
  it('hears contractions of “not” as what is bad, and gives the ear each word of them', () => {
    const { words: known } = compile(own, [ITEMS_RULE], 'psi');
    for (const [words, item, state] of [
      ["belts aren't tight", 'belts', 'defective'],
      ["seat isn't secure", 'seat', 'defective'],
      ["wipers don't work", 'wipers', 'defective'],
      ["horn doesn't work", 'horn', 'defective'],
      ["seat belts won't latch", 'seat-belts', 'will-not-latch'],
      ["left headlight isn't working", 'headlights', 'one-defective'],
      ["all lights aren't working", 'headlights', 'defective'],
    ] as const) {
      expect(meaning(words)?.items?.[0], words).toEqual({ item, state });
      expect(known).toEqual(expect.arrayContaining(words.split(' ')));
    }
  });

  it.each([
    ['one oh five', 105],
    ['one ten', 110],
    ['a hundred', 100],
    ['one hundred and five', 105],
    ['one two five', 125],
    ['one hundred twenty', 120],
    ['ninety five', 95],
  ])('hears a tire at %s pounds', (words, value) => {
    const weekly = grammarOfPlan(
      grammar,
      WALKS.find(({ id }) => id === 'weekly')!,
    );
    expect(parse(weekly, [ITEMS_RULE], `left front pressure ${words} pounds`, 'psi')?.items).toEqual([
      { item: 'left-front-pressure', state: 'value', value },
    ]);
  });

  it('has words that both ears can be given, and no two phrases of one place that sound alike', async () => {
    const dictionary = await cmuDictionary();
    if (!dictionary.ok) throw new Error(dictionary.problem.what);
    const close: string[] = [];
    for (const place of placesOf(PRE_TRIP)) {
      const words = place.items.flatMap((item) => phrasesOf(item).flatMap((phrase) => phrase.words.split(' ')));
      const lexicon = lexiconOf(words, dictionary.value, PRONUNCIATIONS);
      if (!lexicon.ok) throw new Error(lexicon.problem.what);
      const phones = (text: string) => text.split(' ').flatMap((word) => lexicon.value.get(word)?.[0] ?? []);
      const names = place.items.flatMap(({ id, names: all }) => all.map((name) => ({ id, name, said: phones(name) })));
      for (const [at, one] of names.entries())
        for (const other of names.slice(at + 1))
          if (one.id !== other.id && edits(one.said, other.said) < 2) close.push(`${one.name} / ${other.name}`);
      for (const item of place.items) {
        const states = phrasesOf({ ...item, names: item.names.slice(0, 1) });
        for (const [at, one] of states.entries())
          for (const other of states.slice(at + 1))
            if (one.state !== other.state && edits(phones(one.words), phones(other.words)) < 2)
              close.push(`${one.words} / ${other.words}`);
      }
    }
    expect(close).toEqual([]);
  });
});

/** How many phones have to be put in, taken out or changed (Levenshtein). */
function edits(one: readonly string[], other: readonly string[]): number {
  let row = other.map((_, at) => at + 1);
  row.unshift(0);
  for (const [at, phone] of one.entries()) {
    const next = [at + 1];
    for (const [place, against] of other.entries())
      next.push(Math.min(row[place + 1]! + 1, next[place]! + 1, row[place]! + (phone === against ? 0 : 1)));
    row = next;
  }
  return row.at(-1)!;
}
