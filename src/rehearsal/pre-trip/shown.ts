import { placeOf, placesOf } from '../../check/places.ts';
import type { CheckState } from '../../check/state.ts';
import type { Item, ItemPlace } from '../../items/item.ts';
import { badWords, isAnswered, type ItemSaid } from '../../items/said.ts';
import type { LevelId } from '../level.ts';
import { WALK_LEVEL, lookOf } from './walk.ts';
import type { Walked } from './coach-walk.ts';
import type { Drawing, Look } from './drawing.ts';
import type { Explained } from './explain.ts';
import { pictureOf } from './pictures.ts';

/** The drawing that is looked at. */
export interface ShownItem {
  readonly item: Item;
  readonly place: ItemPlace;
  /** From 1, in its place. */
  readonly number: number;
  readonly drawing: Drawing;
  readonly look: Look;
  /** How it was called, in words; absent while nothing was said of it, or where that would tell its name. */
  readonly called?: string;
  readonly isBad: boolean;
  readonly explained: Explained;
}

/** What the screen shows of a walk on paper; nothing in it is told from the faults but the drawing itself. */
export interface ShownWalk {
  /** The place under way; undefined at the end of the walk. */
  readonly place: ItemPlace | undefined;
  readonly placeNumber: number;
  readonly places: number;
  /** Items of the place without an answer. */
  readonly left: number;
  /** What is shown is named: at a level that does, and where another item of the place has the same drawing. */
  readonly named: boolean;
  /** A defect was called whose class was not told. */
  readonly waits: boolean;
  /** The place before this one, which can be gone back to. */
  readonly before: ItemPlace | undefined;
  readonly shown: ShownItem | undefined;
  /** The drawings before and after this one in its place. */
  readonly previous: string | undefined;
  readonly next: string | undefined;
}

/**
 * `chosen`: the item that was turned to by hand. Else, where items are named, a defect that waits for its class is shown, so that it can be
 * explained, and else the first item of the place that has no answer.
 */
export function shownWalk(walked: Walked, level: LevelId, chosen?: string): ShownWalk {
  const { check } = walked;
  const places = placesOf(check.start.plan);
  const place = placeOf(check.start.plan.steps[check.index]);
  const at = places.findIndex(({ id }) => id === place?.id);
  const unanswered = (place?.items ?? []).filter(({ id }) => !isSaid(check.items?.[id]));
  const waiting = unexplained(walked);
  const { names } = WALK_LEVEL[level];
  const id = chosen ?? (names ? waiting : undefined) ?? unanswered[0]?.id ?? place?.items[0]?.id;
  const of = places.find(({ items }) => items.some((item) => item.id === id));
  const index = of?.items.findIndex((item) => item.id === id) ?? -1;
  const seen = of === undefined ? places.length : places.indexOf(of);
  return {
    place,
    placeNumber: at === -1 ? places.length : at + 1,
    places: places.length,
    left: unanswered.length,
    named: names || looksLikeAnother(of?.items ?? [], index),
    waits: waiting !== undefined,
    before: places[(at === -1 ? seen : at) - 1],
    shown: of === undefined ? undefined : shownItem(walked, of, index),
    previous: of?.items[index - 1]?.id,
    next: of?.items[index + 1]?.id,
  };
}

function looksLikeAnother(items: readonly Item[], index: number): boolean {
  const drawings = items.map((item) => pictureOf(item)?.drawing);
  return drawings.some((drawing, at) => at !== index && drawing === drawings[index]);
}

function isSaid(said: ItemSaid | undefined): boolean {
  return said !== undefined && isAnswered(said);
}

/** The item called bad last, as long as its class was not told. */
function unexplained({ check, explained }: Walked): string | undefined {
  const bad = badItems(check);
  const last = bad.reduce<(typeof bad)[number] | undefined>(
    (latest, each) => (latest === undefined || each.at >= latest.at ? each : latest),
    undefined,
  );
  return last === undefined || explained[last.id]?.class !== undefined ? undefined : last.id;
}

function badItems({ items = {}, start }: CheckState): readonly { readonly id: string; readonly at: number }[] {
  return placesOf(start.plan)
    .flatMap((place) => place.items)
    .flatMap((item) => {
      const said = items[item.id];
      return said === undefined || badWords(item, said) === undefined ? [] : [{ id: item.id, at: said.at }];
    });
}

function shownItem({ check, faults, explained }: Walked, place: ItemPlace, index: number): ShownItem | undefined {
  const item = place.items[index];
  const picture = item === undefined ? undefined : pictureOf(item);
  if (item === undefined || picture === undefined) return undefined;
  const fault = faults.find((each) => each.item === item.id);
  const said = check.items?.[item.id];
  const words = said === undefined ? undefined : badWords(item, said);
  const called = words ?? (isSaid(said) ? calledWords(item, said) : undefined);
  return {
    item,
    place,
    number: index + 1,
    drawing: picture.drawing,
    look: picture.drawing.looks[lookOf(picture, fault)] ?? picture.drawing.looks.good,
    ...(called === undefined ? {} : { called }),
    isBad: words !== undefined,
    explained: explained[item.id] ?? {},
  };
}

function calledWords({ measure }: Item, said: ItemSaid | undefined): string {
  if (said?.skipped !== undefined) return 'not checked';
  if (said?.absent === true) return 'not fitted';
  const value = said?.value === undefined ? [] : [`${said.value} ${measure?.unit ?? ''}`.trim()];
  return [...(said?.good === true ? ['good'] : []), ...value].join(', ') || 'good';
}
