import type { CheckEvent } from '../check/event.ts';
import type { CheckHead, Clip, RecordStore } from './record-store.ts';

/** Keeps checks until the page closes: for browsers without IndexedDB, and for what no longer fits on the disk. */
export function memoryStore(): RecordStore {
  const heads = new Map<string, CheckHead>();
  const logs = new Map<string, CheckEvent[]>();
  const clips = new Map<string, Clip>();
  return {
    place: 'memory',
    begin(head) {
      heads.set(head.id, head);
      logs.set(head.id, logs.get(head.id) ?? []);
      return Promise.resolve();
    },
    append(check, index, event) {
      const log = logs.get(check) ?? [];
      if (index in log) return Promise.reject(new DOMException(`Event ${index} is already kept.`, 'ConstraintError'));
      log[index] = event;
      logs.set(check, log);
      return Promise.resolve();
    },
    close(head) {
      heads.set(head.id, head);
      return Promise.resolve();
    },
    // A log taken over from the disk in the middle of a check has its first events there.
    events: (check) => Promise.resolve((logs.get(check) ?? []).filter((event) => event !== undefined)),
    heads: () => Promise.resolve([...heads.values()].sort((a, b) => b.startedAt.localeCompare(a.startedAt))),
    keepClip(clip) {
      clips.set(clip.id, clip);
      return Promise.resolve();
    },
    clip: (id) => Promise.resolve(clips.get(id)),
    dropOldestClip() {
      const oldest = [...clips.values()].sort((a, b) => a.kept - b.kept)[0];
      return Promise.resolve(oldest !== undefined && clips.delete(oldest.id));
    },
  };
}
