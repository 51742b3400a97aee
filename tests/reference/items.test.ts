import { describe, expect, it } from 'vitest';
import { builtInPlans } from '../../src/check/built-in-plans.ts';
import { placesOf } from '../../src/check/places.ts';
import { cueIds } from '../../src/grammar/select.ts';
import { judgeItems } from '../../src/items/judge-items.ts';
import { loadGrammar } from '../support/grammar.ts';

const PRE_TRIP = builtInPlans(new Set(cueIds(loadGrammar()))).find(({ id }) => id === 'whole-pre-trip')!;
const places = placesOf(PRE_TRIP);
const items = places.flatMap((place) => place.items);

/**
 * 49 CFR 392.7 and 396.11(a)(1) name the same parts. Trailer connections and coupling are no part of a straight rig; service and parking
 * brake are the steps of the air brake check.
 */
const PARTS: Readonly<Record<string, readonly string[]>> = {
  'steering mechanism': ['steering-wheel', 'steering-box', 'linkage'],
  'lighting devices and reflectors': [
    'headlights',
    'brake-lights',
    'left-signal',
    'right-signal',
    'tail-lights',
    'reflectors',
  ],
  tires: ['left-front-tire', 'right-front-tire', 'left-rear-tire', 'right-rear-tire'],
  horn: ['horn'],
  'windshield wipers': ['wipers'],
  'rear vision mirrors': ['mirrors'],
  'wheels and rims': ['left-front-rim', 'right-front-rim', 'left-rear-rims', 'right-rear-rims'],
  'emergency equipment': ['extinguisher', 'triangles'],
};

describe('the whole pre-trip against the documents', () => {
  it.each(Object.entries(PARTS))('looks at the %s (49 CFR 396.11(a)(1))', (_, ids) => {
    expect(ids.filter((id) => !items.some((item) => item.id === id))).toEqual([]);
  });

  it('has the air brake check behind the walk, and at least 45 items', () => {
    expect(items.length).toBeGreaterThanOrEqual(45);
    expect(PRE_TRIP.steps.some(({ test }) => test === 'applied-leakage')).toBe(true);
  });

  // 49 CFR 393.75(b): at least 4/32 of an inch on the front wheels; (c): 2/32 on the others.
  it.each([
    ['left-front-tire', 4],
    ['right-front-tire', 4],
    ['left-rear-tire', 2],
    ['right-rear-tire', 2],
  ])('takes %s at %i/32 and puts it out of service below', (id, limit) => {
    const place = places.find((each) => each.items.some((item) => item.id === id))!;
    const judged = (value: number) =>
      judgeItems(place, { [id]: { at: 0, heard: '', bad: [], value } }, { operator: '' }).items?.find(
        (item) => item.id === id,
      );
    expect(judged(limit)).toMatchObject({ state: 'good' });
    expect(judged(limit - 1)).toMatchObject({ state: 'bad', class: 'out-of-service', source: { section: '(b), (c)' } });
  });
});
