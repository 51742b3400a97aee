import * as v from 'valibot';
import type { Fault } from '../units/read-by-schema.ts';
import { DEFECT_CLASSES, RESERVED_STATES, waysOf, type Item, type ItemPlace } from './item.ts';

const text = v.pipe(v.string(), v.trim(), v.nonEmpty('is empty'));
const id = v.pipe(
  v.string(),
  v.regex(/^[a-z][a-z0-9]*(-[a-z0-9]+)*$/, 'is not in lower case letters, digits and hyphens'),
);
/** What is said: words of the grammar, so that nothing else can be put into its rules. */
const spoken = v.pipe(v.string(), v.regex(/^[a-z']+( [a-z']+)*$/, 'is not plain words in lower case'));
const phrases = v.pipe(v.array(spoken), v.minLength(1, 'is empty: name at least one way to say it'));
const source = v.strictObject({
  document: text,
  section: v.exactOptional(text),
  sure: v.picklist(['seen', 'secondary', 'memory', 'practice']),
});
const defectClass = v.picklist(DEFECT_CLASSES);
const count = v.pipe(v.number(), v.integer('is no whole number'), v.minValue(0, 'is below 0'));

const item = v.strictObject({
  id,
  title: text,
  names: phrases,
  look: text,
  good: v.array(spoken),
  bad: v.pipe(
    v.array(v.strictObject({ id, words: phrases, class: defectClass, source: text })),
    v.minLength(1, 'is empty: an item may be bad in at least one way'),
  ),
  measure: v.exactOptional(
    v.strictObject({
      what: text,
      unit: v.picklist(['32nds', 'psi', 'kPa']),
      said: phrases,
      min: v.exactOptional(count),
      max: v.pipe(count, v.maxValue(199, 'is above 199')),
      limits: v.array(v.strictObject({ below: count, class: defectClass, source: text })),
      figure: v.exactOptional(v.picklist(['frontTread', 'rearTread'])),
    }),
  ),
  single: v.exactOptional(phrases),
  mayLack: v.exactOptional(v.literal(true)),
});

/** The members that a step of the kind `items` has besides those of every step. */
export const ITEM_STEP_MEMBERS = {
  names: v.exactOptional(phrases),
  items: v.exactOptional(v.pipe(v.array(item), v.minLength(1, 'is empty: a place has at least one item'))),
  groups: v.exactOptional(v.array(v.strictObject({ names: phrases, words: phrases, items: v.array(id) }))),
  sources: v.exactOptional(v.record(v.string(), source)),
};

/** More items than one plan may have: nobody walks them, and no ear tells them apart. Ours, no source. */
const MOST_ITEMS = 150;

/** The first thing that is wrong with the items of a plan's places; `paths` name the steps they stand in. */
export function itemsFault(places: readonly ItemPlace[], paths: readonly string[]): Fault | undefined {
  const number = places.reduce((sum, { items }) => sum + items.length, 0);
  if (number > MOST_ITEMS)
    return {
      path: 'steps',
      what: `The plan has ${String(number)} items; more than ${String(MOST_ITEMS)} cannot be told apart by ear.`,
      repair: 'Make several plans of it.',
    };
  const phrasesSaid = new Map<string, string>();
  const ids = new Set<string>();
  const placeNames = new Set<string>();
  for (const [at, place] of places.entries()) {
    const path = paths[at] ?? 'steps';
    const taken = place.names.find((name) => placeNames.has(name));
    if (taken !== undefined)
      return { path: `${path}.names`, what: `Two places are called “${taken}”.`, repair: 'Call one otherwise.' };
    for (const name of place.names) placeNames.add(name);
    for (const [index, each] of place.items.entries()) {
      const where = `${path}.items[${String(index)}]`;
      if (ids.has(each.id))
        return {
          path: `${where}.id`,
          what: `Two items have the id “${each.id}”.`,
          repair: 'Give each an id of its own.',
        };
      ids.add(each.id);
      const fault = itemFault(each, place, where) ?? nameFault(each, where, phrasesSaid);
      if (fault !== undefined) return fault;
    }
    const stray = (place.groups ?? [])
      .flatMap(({ items }) => items)
      .find((one) => !place.items.some((each) => each.id === one));
    if (stray !== undefined)
      return { path: `${path}.groups`, what: `“${stray}” is no item of this place.`, repair: 'Name one of its items.' };
  }
  return undefined;
}

function itemFault(each: Item, { sources }: ItemPlace, where: string): Fault | undefined {
  const wayIds = new Set<string>(RESERVED_STATES);
  for (const [index, way] of each.bad.entries()) {
    if (wayIds.has(way.id))
      return {
        path: `${where}.bad[${String(index)}].id`,
        what: `“${way.id}” is a state of this item already.`,
        repair: 'Give the way an id of its own.',
      };
    wayIds.add(way.id);
  }
  const named = [...each.bad.map((way) => way.source), ...(each.measure?.limits ?? []).map((limit) => limit.source)];
  const lost = named.find((name) => sources[name] === undefined);
  if (lost !== undefined)
    return {
      path: where,
      what: `The source “${lost}” is not among the sources of the step.`,
      repair: 'Add it to sources.',
    };
  const high = each.measure?.limits.find(({ below }) => below > (each.measure?.max ?? 0));
  if (high !== undefined)
    return {
      path: `${where}.measure`,
      what: `A limit of ${String(high.below)} is above the greatest value of ${String(each.measure?.max)}.`,
      repair: 'Correct one of them.',
    };
  const states = new Map<string, string>();
  const said = [
    ...[...new Set(['good', ...each.good])].map((words) => ({ words, state: 'good' })),
    ...['repaired', 'replaced'].map((words) => ({ words, state: 'repaired' })),
    ...['skipped', 'not checked'].map((words) => ({ words, state: 'skipped' })),
    ...waysOf(each).flatMap((way) => way.words.map((words) => ({ words, state: way.id }))),
  ];
  for (const { words, state } of said) {
    const other = states.get(words);
    if (other !== undefined && other !== state)
      return {
        path: where,
        what: `“${words}” says two things of ${each.names[0] ?? each.id}: ${other} and ${state}.`,
        repair: 'Say one of them in other words.',
      };
    states.set(words, state);
  }
  return undefined;
}

function nameFault(each: Item, where: string, known: Map<string, string>): Fault | undefined {
  for (const name of each.names) {
    const other = known.get(name);
    if (other !== undefined)
      return {
        path: `${where}.names`,
        what: `“${name}” is the name of two items, ${other} and ${each.id}: they cannot be told apart by ear.`,
        repair: 'Give one another name.',
      };
    known.set(name, each.id);
  }
  return undefined;
}
