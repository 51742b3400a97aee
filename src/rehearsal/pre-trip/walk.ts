import { randomFrom } from '../../airsystem/scenario.ts';
import { placesOf } from '../../check/places.ts';
import type { Plan, Step } from '../../check/plan.ts';
import { waysOf, type DefectClass, type Item, type ItemPlace } from '../../items/item.ts';
import { belowLimit } from '../../items/said.ts';
import type { Source } from '../../judging/result.ts';
import type { LevelId } from '../level.ts';
import { pictureOf, type Picture } from './pictures.ts';

/** One fault of the rig on paper: an item, how it is bad, and what its list says of that. */
export interface PaperFault {
  readonly place: string;
  readonly item: string;
  /** The way of being bad, or `value` where a gauge reads below a limit. */
  readonly way: string;
  /** In words, as the list has them. */
  readonly words: string;
  readonly class: DefectClass;
  readonly source: Source;
  /** What the gauge reads. */
  readonly value?: number;
}

/** What the trainee is told at a level, and how many faults there are. */
interface WalkLevel {
  readonly about: string;
  /** The least and the greatest number of faults; a short walk may have room for fewer. */
  readonly faults: readonly [least: number, most: number];
  /** The items of the place are named on the screen. */
  readonly names: boolean;
  /** How many faults there are is told beforehand. */
  readonly counted: boolean;
}

/** Numbers of faults: ours, no source. A rig without any is drawn too, so that nobody learns that there is always one. */
export const WALK_LEVEL: Readonly<Record<LevelId, WalkLevel>> = {
  told: {
    about: 'Each item is named beside its drawing, and the number of faults is told.',
    faults: [3, 3],
    names: true,
    counted: true,
  },
  prompted: {
    about: 'Each item is named beside its drawing. How many faults there are, you find out.',
    faults: [1, 6],
    names: true,
    counted: false,
  },
  silent: {
    about:
      'Drawings without names, but where two look alike: you say what each one is, and how it is. From no fault to eight, and nothing is said until the sheet.',
    faults: [0, 8],
    names: false,
    counted: false,
  },
};

/** The last step of a walk on paper, so that the class of the last item can still be told. */
export const END_STEP = 'walk-end';
const END_CUE = 'check-complete';

/**
 * The walk of a plan as it is rehearsed: its places with the items that are drawn, and an end that has to be called. Undefined for a plan
 * none of whose items is drawn.
 */
export function paperPlan(plan: Plan): Plan | undefined {
  const steps = plan.steps.flatMap((step): Step[] => {
    if (step.kind !== 'items') return [];
    const items = (step.items ?? []).filter((item) => pictureOf(item) !== undefined);
    if (items.length === 0) return [];
    const isDrawn = (id: string): boolean => items.some((item) => item.id === id);
    const groups = (step.groups ?? []).filter((group) => group.items.every(isDrawn));
    return [{ ...step, items, groups }];
  });
  if (steps.length === 0) return undefined;
  const end: Step = {
    id: END_STEP,
    kind: 'confirm',
    title: 'End of the walk',
    brief: 'End of the walk. Say check complete.',
    instruction: 'That was the last place. Say “check complete”, or press it, for the coach’s sheet.',
    test: 'none',
    cues: [END_CUE],
  };
  return { ...plan, steps: [...steps, end] };
}

/** Titles of the plan's items that are not drawn, and so not rehearsed. */
export function undrawn(plan: Plan): readonly string[] {
  return placesOf(plan).flatMap(({ items }) =>
    items.filter((item) => pictureOf(item) === undefined).map(({ title }) => title),
  );
}

/** Every fault that an item's drawing can show. */
export function faultsOfItem(item: Item, place: ItemPlace): readonly PaperFault[] {
  const picture = pictureOf(item);
  if (picture === undefined) return [];
  return Object.keys(picture.shows).flatMap((way) => faultOf(item, place, picture, way) ?? []);
}

function faultOf(item: Item, { id, sources }: ItemPlace, picture: Picture, way: string): PaperFault | undefined {
  const base = { place: id, item: item.id, way };
  if (way === 'value') {
    const value = picture.value ?? 0;
    const limit = belowLimit(item, value);
    const source = sources[limit?.source ?? ''];
    if (limit === undefined || source === undefined || item.measure === undefined) return undefined;
    const words = `${item.measure.what} ${value} ${item.measure.unit}, below ${limit.below}`;
    return { ...base, words, class: limit.class, source, value };
  }
  const found = waysOf(item).find((each) => each.id === way);
  const source = sources[found?.source ?? ''];
  if (found === undefined || source === undefined) return undefined;
  // The first of the general words says nothing of what is drawn.
  const words = way === 'defective' ? 'not as it must be' : (found.words[0] ?? way);
  return { ...base, words, class: found.class, source };
}

/**
 * The faults of one rehearsal, at most one an item, in the order of the walk. The same seed always gives the same ones, whatever was
 * rehearsed before; `seed` is a whole number from 0 to 4294967295.
 */
export function paperFaults(plan: Plan, seed: number, level: LevelId): readonly PaperFault[] {
  const random = randomFrom(seed);
  const pick = <T>(from: T[]): T | undefined => from.splice(Math.floor(random() * from.length), 1)[0];
  const [least, most] = WALK_LEVEL[level].faults;
  const all = placesOf(plan).flatMap((place) => place.items.map((item) => ({ item, place })));
  const left = all.map((_, index) => index);
  const wanted = Math.min(least + Math.floor(random() * (most - least + 1)), Math.ceil(all.length / 2));
  const chosen = new Map<number, PaperFault>();
  while (chosen.size < wanted && left.length > 0) {
    const index = pick(left) ?? 0;
    const at = all[index];
    const fault = at === undefined ? undefined : pick([...faultsOfItem(at.item, at.place)]);
    if (fault !== undefined) chosen.set(index, fault);
  }
  return [...chosen].sort(([one], [other]) => one - other).map(([, fault]) => fault);
}

/** The look of an item's drawing on this rig. */
export function lookOf(picture: Picture, fault: PaperFault | undefined): string {
  return fault === undefined ? 'good' : (picture.shows[fault.way] ?? 'good');
}
