import { isCheckEvent } from './log.ts';
import { memoryStore } from './memory-store.ts';
import type { CheckHead, Clip, EntryStore, StoredEntry } from './record-store.ts';
import { isFull } from './record-store.ts';

/** Something the operator should know about the record; the check goes on. */
export type RecordNotice = 'not-kept' | 'clips-given-up' | 'disk-lost' | 'other-tab';

/**
 * A store that never fails a check: when the disk is full it gives up clips, oldest first, and tries again; when the disk
 * is refused or lost the log goes on in memory. Each change is told once through `onNotice`.
 */
export function keepingStore(disk: EntryStore | undefined, onNotice: (notice: RecordNotice) => void): EntryStore {
  const memory = memoryStore();
  const told = new Set<RecordNotice>();
  let clipsKept = true;
  let lost = disk === undefined;

  function tell(notice: RecordNotice): void {
    if (told.has(notice)) return;
    told.add(notice);
    onNotice(notice);
  }
  if (lost) tell('not-kept');

  /** Runs `work` on the disk, making room as long as there are clips to give up. False when it could not be done there. */
  async function onDisk(work: (store: EntryStore) => Promise<void>): Promise<boolean> {
    if (lost || disk === undefined) return false;
    for (;;) {
      try {
        await work(disk);
        return true;
      } catch (error) {
        if (isConflict(error)) {
          tell('other-tab');
          throw error;
        }
        if (isFull(error) && (await madeRoom(disk))) continue;
        lost = true;
        tell('disk-lost');
        return false;
      }
    }
  }

  async function madeRoom(store: EntryStore): Promise<boolean> {
    clipsKept = false;
    const dropped = await store.dropOldestClip().catch(() => false);
    if (dropped) tell('clips-given-up');
    return dropped;
  }

  async function both<T>(read: (store: EntryStore) => Promise<T>, empty: T): Promise<[T, T]> {
    const kept = disk === undefined ? empty : await read(disk).catch(() => empty);
    return [kept, await read(memory)];
  }

  async function entries(check: string): Promise<readonly StoredEntry[]> {
    const [kept, rest] = await both((store) => store.entries(check), []);
    return [...kept, ...rest];
  }

  async function put(work: (store: EntryStore) => Promise<void>): Promise<void> {
    if (!(await onDisk(work))) await work(memory);
  }

  return {
    get place() {
      return lost ? 'memory' : 'disk';
    },
    begin: (head: CheckHead) => put((store) => store.begin(head)),
    close: (head: CheckHead) => put((store) => store.close(head)),
    append: (check, index, event, link) => put((store) => store.append(check, index, event, link)),
    events: async (check) => (await entries(check)).map(({ event }) => event).filter(isCheckEvent),
    entries,
    async head(check) {
      const [kept, newer] = await both<CheckHead | undefined>((store) => store.head(check), undefined);
      return newer ?? kept;
    },
    // An import that does not fit is told, not taken into memory behind the user's back.
    addLog: (head, log, clips) => (lost || disk === undefined ? memory : disk).addLog(head, log, clips),
    async heads(most) {
      const [kept, rest] = await both((store) => store.heads(most), []);
      const newer = new Set(rest.map((head) => head.id));
      return [...rest, ...kept.filter((head) => !newer.has(head.id))]
        .sort((a, b) => b.startedAt.localeCompare(a.startedAt))
        .slice(0, most);
    },
    async keepClip(clip: Clip) {
      if (!clipsKept || lost || disk === undefined) return;
      try {
        await disk.keepClip(clip);
      } catch {
        // The sound is the first thing to go; the log keeps what was heard.
        clipsKept = false;
        tell('clips-given-up');
      }
    },
    clip: async (id) => (disk === undefined ? undefined : disk.clip(id).catch(() => undefined)),
    dropOldestClip: () => (disk === undefined ? Promise.resolve(false) : disk.dropOldestClip()),
    async remove(check) {
      await memory.remove(check);
      await disk?.remove(check);
    },
  };
}

/** True when another writer already holds the place of this event. */
export function isConflict(error: unknown): boolean {
  return error instanceof Error && error.name === 'ConstraintError';
}
