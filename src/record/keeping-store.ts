import { isCheckEvent } from './log.ts';
import { memoryStore } from './memory-store.ts';
import type { CheckHead, EntryStore, StoredEntry } from './record-store.ts';
import { isFull } from './record-store.ts';

/** Something the operator should know about the record; the check goes on. `disk-back` takes `disk-lost` back. `newer-build`: another tab has
 * brought the database to a form that this build does not know. */
export type RecordNotice = 'not-kept' | 'clips-given-up' | 'disk-lost' | 'newer-build' | 'disk-back' | 'other-tab';

/** Clips that are given up, at most, for the sake of a newer one: where that makes no room, something else fills the disk. */
const MOST_FOR_A_CLIP = 8;

/** Something that has not reached the disk yet. */
interface Held {
  readonly check: string;
  readonly head?: CheckHead;
  readonly entry?: StoredEntry;
  readonly work: () => Promise<void>;
}

/**
 * A store that never fails a check: when the disk is full it gives up clips, oldest first, and tries again; what the disk still
 * refuses is held in memory, in its order, and tried again before everything that comes after it. Each change is told through
 * `onNotice`. Without a disk everything is in memory.
 */
export function keepingStore(disk: EntryStore | undefined, onNotice: (notice: RecordNotice) => void): EntryStore {
  if (disk === undefined) {
    onNotice('not-kept');
    return memoryStore();
  }
  return overDisk(disk, onNotice);
}

function overDisk(disk: EntryStore, onNotice: (notice: RecordNotice) => void): EntryStore {
  const told = new Set<RecordNotice>();
  let held: readonly Held[] = [];
  let clipsKept = true;
  let turn: Promise<unknown> = Promise.resolve();

  function tell(notice: RecordNotice): void {
    if (told.has(notice)) return;
    told.add(notice);
    onNotice(notice);
  }

  /** Why it is not on the disk; undefined when it is, after making room as long as there are clips to give up. Rejects on a conflict. */
  async function onDisk(work: () => Promise<void>): Promise<'disk-lost' | 'newer-build' | undefined> {
    for (;;) {
      try {
        await work();
        return undefined;
      } catch (error) {
        if (isConflict(error)) {
          tell('other-tab');
          throw error;
        }
        if (error instanceof Error && error.name === 'VersionError') return 'newer-build';
        if (!isFull(error) || !(await madeRoom())) return 'disk-lost';
      }
    }
  }

  async function madeRoom(): Promise<boolean> {
    const dropped = await disk.dropOldestClip().catch(() => false);
    if (dropped) tell('clips-given-up');
    return dropped;
  }

  /** One at a time: what is held goes first. */
  function put(piece: Held): Promise<void> {
    const done = turn.then(async () => {
      const trouble = (await caughtUp()) ?? (await onDisk(piece.work));
      if (trouble === undefined) return;
      held = [...held, piece];
      told.delete('disk-back');
      tell(trouble);
    });
    turn = done.catch(() => undefined);
    return done;
  }

  /** Undefined when nothing is held in memory any more, else why something is. */
  async function caughtUp(): Promise<'disk-lost' | 'newer-build' | undefined> {
    if (held.length === 0) return undefined;
    for (let next = held[0]; next !== undefined; next = held[0]) {
      const trouble = await onDisk(next.work);
      if (trouble !== undefined) return trouble;
      held = held.slice(1);
    }
    told.delete('disk-lost');
    tell('disk-back');
    return undefined;
  }

  async function entries(check: string): Promise<readonly StoredEntry[]> {
    const kept = await disk.entries(check).catch(() => []);
    return [...kept, ...held.flatMap((piece) => (piece.check === check ? (piece.entry ?? []) : []))];
  }

  return {
    get place() {
      return held.length > 0 ? 'memory' : 'disk';
    },
    begin: (head) => put({ check: head.id, head, work: () => disk.begin(head) }),
    close: (head) => put({ check: head.id, head, work: () => disk.close(head) }),
    append: (check, index, event, link) =>
      put({
        check,
        entry: link === undefined ? { event } : { event, link },
        work: () => disk.append(check, index, event, link),
      }),
    events: async (check) => (await entries(check)).map(({ event }) => event).filter(isCheckEvent),
    entries,
    async head(check) {
      const newest = held.findLast((piece) => piece.check === check && piece.head !== undefined)?.head;
      return newest ?? (await disk.head(check).catch(() => undefined));
    },
    // An import that does not fit is told, not taken into memory behind the user's back.
    addLog: (head, log, clips) => disk.addLog(head, log, clips),
    async heads(most) {
      const kept = await disk.heads(most).catch((): readonly CheckHead[] => []);
      const newer = new Map(held.flatMap(({ check, head }) => (head === undefined ? [] : [[check, head] as const])));
      return [...newer.values(), ...kept.filter(({ id }) => !newer.has(id))]
        .sort((a, b) => b.startedAt.localeCompare(a.startedAt))
        .slice(0, most);
    },
    async keepClip(clip) {
      for (let given = 0; clipsKept; given += 1) {
        try {
          await disk.keepClip(clip);
          return;
        } catch (error) {
          if (isFull(error) && given < MOST_FOR_A_CLIP && (await madeRoom())) continue;
          // The sound is the first thing to go; the log keeps what was heard.
          clipsKept = false;
          tell('clips-given-up');
        }
      }
    },
    clip: (id) => disk.clip(id).catch(() => undefined),
    dropClip: (id) => disk.dropClip(id),
    dropOldestClip: () => disk.dropOldestClip(),
    async remove(check) {
      held = held.filter((piece) => piece.check !== check);
      await disk.remove(check);
    },
  };
}

/** True when another writer already holds the place of this event. */
function isConflict(error: unknown): boolean {
  return error instanceof Error && error.name === 'ConstraintError';
}
