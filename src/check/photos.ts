import type { CheckEvent, PhotoEvent } from './event.ts';

/** Of one item, and of a whole check: enough to show a defect, and little enough that a device holds years of them. */
export const MOST_OF_AN_ITEM = 3;
export const MOST_OF_A_CHECK = 12;

/** The photos of a check that were not taken back, in their order. */
export function photosOf(events: readonly CheckEvent[]): readonly PhotoEvent[] {
  const back = new Set(events.flatMap((event) => (event.type === 'photo-back' ? [event.clip] : [])));
  return events.filter((event) => event.type === 'photo').filter(({ clip }) => !back.has(clip));
}

/** Ids of the photos of each item. */
export function photosByItem(events: readonly CheckEvent[]): ReadonlyMap<string, readonly string[]> {
  const found = new Map<string, string[]>();
  for (const { item, clip } of photosOf(events)) found.set(item, [...(found.get(item) ?? []), clip]);
  return found;
}

/** Why there is no further photo of an item; undefined where there may be one. */
export function tooMany(photos: readonly Pick<PhotoEvent, 'item'>[], item: string): string | undefined {
  const other = 'Take one back to make room for another.';
  if (photos.length >= MOST_OF_A_CHECK) return `A check holds ${MOST_OF_A_CHECK} photos. ${other}`;
  const isFull = photos.filter((photo) => photo.item === item).length >= MOST_OF_AN_ITEM;
  return isFull ? `An item has at most ${MOST_OF_AN_ITEM} photos. ${other}` : undefined;
}
