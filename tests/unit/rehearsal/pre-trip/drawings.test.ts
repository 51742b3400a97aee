import { describe, expect, it } from 'vitest';
import { builtInPlans } from '../../../../src/check/built-in-plans.ts';
import { placesOf } from '../../../../src/check/places.ts';
import { cueIds } from '../../../../src/grammar/select.ts';
import { GENERAL_BAD, waysOf } from '../../../../src/items/item.ts';
import { pictureOf } from '../../../../src/rehearsal/pre-trip/pictures.ts';
import { SHEET } from '../../../../src/rehearsal/pre-trip/shapes.ts';
import { faultsOfItem, paperFaults, paperPlan, undrawn } from '../../../../src/rehearsal/pre-trip/walk.ts';
import { loadGrammar } from '../../../support/grammar.ts';

const PLANS = builtInPlans(new Set(cueIds(loadGrammar())));
const PRE_TRIP = PLANS.find(({ id }) => id === 'whole-pre-trip')!;
const PLACES = placesOf(PRE_TRIP);
const ITEMS = PLACES.flatMap((place) => place.items.map((item) => ({ item, place, picture: pictureOf(item)! })));
const DRAWN = ITEMS.map((each) => [each.item.id, each] as const);

/** Words that judge, in whatever drawing: a text alternative says what is seen. Ours, no source. */
const JUDGING = [
  ...['bad', 'good', 'fault', 'defect', 'wrong', 'safe', 'unsafe', 'broken', 'damaged', 'worn', 'missing', 'loose'],
  ...[
    'frayed',
    'cracked',
    'leaking',
    'leaks',
    'bent',
    'chafed',
    'torn',
    'inoperative',
    'dead',
    'out of service',
    'report',
  ],
];
const says = (text: string, words: string): boolean =>
  ` ${text.toLowerCase().replaceAll(/[^a-z]+/g, ' ')} `.includes(` ${words} `);

describe('the drawings of the walk', () => {
  it('there are for every item of the whole pre-trip, and for each way of being bad of its list', () => {
    expect(undrawn(PRE_TRIP)).toEqual([]);
    const without = ITEMS.flatMap(({ item, picture }) =>
      item.bad.filter(({ id }) => picture.shows[id] === undefined).map(({ id }) => `${item.id} ${id}`),
    );
    expect(without).toEqual([]);
  });

  it.each(DRAWN)(
    'of %s: each fault looks other than what is as it must be, and can be pointed at',
    (_, { item, picture }) => {
      const { looks, spots } = picture.drawing;
      const ways = new Set([...waysOf(item).map(({ id }) => id), ...(item.measure === undefined ? [] : ['value'])]);
      expect(Object.keys(spots).length).toBeGreaterThan(1);
      expect(looks.good.at).toEqual([]);
      const seen = [looks.good, ...Object.values(picture.shows).map((id) => looks[id]!)];
      expect(new Set(seen.map((look) => JSON.stringify(look.shapes))).size).toBe(seen.length);
      expect(new Set(seen.map((look) => look.seen)).size).toBe(seen.length);
      for (const [way, id] of Object.entries(picture.shows)) {
        expect(ways).toContain(way);
        expect(looks[id]!.at.length).toBeGreaterThan(0);
        for (const at of looks[id]!.at) expect(spots).toHaveProperty(at);
      }
      for (const { x, y, width, height } of Object.values(spots)) {
        expect(Math.min(x, y)).toBeGreaterThanOrEqual(0);
        expect(x + width).toBeLessThanOrEqual(SHEET.width);
        expect(y + height).toBeLessThanOrEqual(SHEET.height);
      }
    },
  );

  it.each(DRAWN)('of %s are described by what is seen, and by no word that judges it', (_, { item, picture }) => {
    const { looks, spots } = picture.drawing;
    const own = item.bad.flatMap(({ words }) => words);
    const told = [...Object.values(looks).map(({ seen }) => seen), ...Object.values(spots).map(({ words }) => words)];
    const given = told.flatMap((text) =>
      [...JUDGING, ...own].filter((words) => says(text, words)).map((words) => `${words}: ${text}`),
    );
    expect(given).toEqual([]);
  });

  it('a general word is claimed only where the list has no way of its own for it', () => {
    const general = ITEMS.filter(({ picture }) => picture.shows.defective !== undefined);
    expect(general.length).toBeGreaterThan(0);
    for (const { item } of general) {
      const words = waysOf(item).find(({ id }) => id === 'defective')?.words ?? [];
      expect(
        words.some((each) => (GENERAL_BAD as readonly string[]).includes(each) && /cracked|loose/.test(each)),
      ).toBe(true);
    }
  });
});

describe('the faults of a rig on paper', () => {
  const plan = paperPlan(PRE_TRIP)!;

  it('come from the seed alone, one an item at most, as many as the level has', () => {
    for (const seed of [0, 1, 31, 4711, 0xffff_ffff]) {
      const faults = paperFaults(plan, seed, 'told');
      expect(faults).toHaveLength(3);
      expect(paperFaults(plan, seed, 'told')).toEqual(faults);
      expect(new Set(faults.map(({ item }) => item)).size).toBe(3);
    }
    const silent = Array.from({ length: 60 }, (_, seed) => paperFaults(plan, seed, 'silent').length);
    expect(Math.min(...silent)).toBe(0);
    expect(Math.max(...silent)).toBe(8);
  });

  it('reach every item of the walk, and every fault that is drawn of it', () => {
    const possible = new Set(
      PLACES.flatMap((place) => place.items.flatMap((item) => faultsOfItem(item, place))).map(
        ({ item, way }) => `${item} ${way}`,
      ),
    );
    for (let seed = 0; seed < 4000 && possible.size > 0; seed += 1)
      for (const { item, way } of paperFaults(plan, seed, 'silent')) possible.delete(`${item} ${way}`);
    expect([...possible]).toEqual([]);
  });

  it('a plan without drawn items has no walk on paper, and a department’s own item is left out and named', () => {
    expect(paperPlan(PLANS.find(({ id }) => id === 'full-cab-check')!)).toBeUndefined();
    const [first, ...rest] = PRE_TRIP.steps;
    const own = {
      ...first!,
      items: [...first!.items!, { ...first!.items![0]!, id: 'fan', title: 'Fan', names: ['fan'] }],
    };
    const more = { ...PRE_TRIP, steps: [own, ...rest] };
    expect(undrawn(more)).toEqual(['Fan']);
    expect(placesOf(paperPlan(more)!)[0]!.items).toHaveLength(14);
  });
});
