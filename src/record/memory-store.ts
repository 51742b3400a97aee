import { isCheckEvent } from './log.ts';
import type { CheckHead, Clip, EntryStore, StoredEntry } from './record-store.ts';

/** Keeps checks until the page closes: for browsers without IndexedDB, and for what no longer fits on the disk. */
export function memoryStore(): EntryStore {
  const heads = new Map<string, CheckHead>();
  const logs = new Map<string, Map<number, StoredEntry>>();
  const clips = new Map<string, Clip>();
  const entries = (check: string): Promise<readonly StoredEntry[]> =>
    Promise.resolve([...(logs.get(check)?.values() ?? [])]);
  const refused = (why: string): Promise<never> => Promise.reject(new DOMException(why, 'ConstraintError'));
  return {
    place: 'memory',
    begin(head) {
      heads.set(head.id, head);
      return Promise.resolve();
    },
    append(check, index, event, link) {
      const log = logs.get(check) ?? new Map<number, StoredEntry>();
      if (log.has(index)) return refused(`Event ${index} is already kept.`);
      logs.set(check, log.set(index, link === undefined ? { event } : { event, link }));
      return Promise.resolve();
    },
    close(head) {
      heads.set(head.id, head);
      return Promise.resolve();
    },
    events: async (check) => (await entries(check)).map(({ event }) => event).filter(isCheckEvent),
    entries,
    head: (check) => Promise.resolve(heads.get(check)),
    addLog(head, log, sounds) {
      if (heads.has(head.id)) return refused('There is a check of this id.');
      heads.set(head.id, head);
      logs.set(head.id, new Map(log.entries()));
      for (const clip of sounds) clips.set(clip.id, clip);
      return Promise.resolve();
    },
    heads: (most) =>
      Promise.resolve([...heads.values()].sort((a, b) => b.startedAt.localeCompare(a.startedAt)).slice(0, most)),
    keepClip(clip) {
      clips.set(clip.id, clip);
      return Promise.resolve();
    },
    clip: (id) => Promise.resolve(clips.get(id)),
    dropClip(id) {
      clips.delete(id);
      return Promise.resolve();
    },
    dropOldestClip() {
      const oldest = [...clips.values()].sort((a, b) => a.kept - b.kept)[0];
      return Promise.resolve(oldest !== undefined && clips.delete(oldest.id));
    },
    remove(check) {
      heads.delete(check);
      logs.delete(check);
      for (const clip of [...clips.values()]) if (clip.check === check) clips.delete(clip.id);
      return Promise.resolve();
    },
  };
}
