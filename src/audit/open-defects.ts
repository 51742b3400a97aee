import type { OpenDefect } from '../items/open-defect.ts';
import type { CheckHead } from '../record/record-store.ts';

/**
 * The defects of a rig's items that its checks on this device have left open, oldest first. One closes only when a later check calls the
 * item repaired: a check that says nothing of it, or only "good", leaves it open. A check that was stopped counts with what it found.
 */
export function openItemDefects(heads: readonly CheckHead[], rigId: string): OpenDefect[] {
  const open = new Map<string, OpenDefect>();
  const own = heads.filter((head) => head.rigId === rigId && head.state !== 'running');
  for (const { id, startedAt, operator, steps = [] } of own.toSorted((a, b) => (a.startedAt < b.startedAt ? -1 : 1))) {
    for (const { defects = [], repaired = [], photos = [] } of steps) {
      for (const item of repaired) open.delete(item);
      for (const { item, title, words, class: is } of defects) {
        const before = open.get(item);
        const first = before ?? { since: startedAt, check: id, operator };
        open.set(item, {
          item,
          title,
          words,
          class: is,
          since: first.since,
          check: first.check,
          operator: first.operator,
          ...(before?.photos === undefined ? {} : { photos: before.photos }),
        });
      }
      for (const { item, ids } of photos) {
        const shown = open.get(item);
        if (shown !== undefined) open.set(item, { ...shown, photos: [...(shown.photos ?? []), ...ids] });
      }
    }
  }
  return [...open.values()];
}
