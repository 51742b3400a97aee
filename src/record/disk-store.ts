import { openDB } from 'idb';
import type { DBSchema, IDBPDatabase } from 'idb';
import type { CheckHead, Clip, EntryStore, StoredEntry } from './record-store.ts';
import { isCheckEvent } from './log.ts';

interface RecordSchema extends DBSchema {
  checks: { key: string; value: CheckHead; indexes: { started: string } };
  events: { key: [check: string, index: number]; value: StoredEntry & { check: string; index: number } };
  clips: { key: string; value: Clip; indexes: { kept: number } };
}

/** 2: checks by their start, so that the newest are there before all the others are read. */
const VERSION = 2;
/** `strict`: the browser reports success only after it has asked the system to flush, so that a power cut loses nothing that was answered. */
const DURABLE = { durability: 'strict' } as const;

/**
 * Opens the store in IndexedDB. Rejects when the browser has none, denies it (private mode, blocked site data),
 * or holds a newer schema than this build knows.
 */
export async function diskStore(name = 'two-needles'): Promise<EntryStore> {
  if (typeof indexedDB === 'undefined') throw new DOMException('This browser has no IndexedDB.', 'NotSupportedError');
  const db = await openDB<RecordSchema>(name, VERSION, {
    upgrade(database, old, _to, tx) {
      if (old < 1) {
        database.createObjectStore('checks', { keyPath: 'id' });
        database.createObjectStore('events', { keyPath: ['check', 'index'] });
        database.createObjectStore('clips', { keyPath: 'id' }).createIndex('kept', 'kept');
      }
      tx.objectStore('checks').createIndex('started', 'startedAt');
    },
    // A newer build in another tab waits for this one: let it go on, and let this tab fall back.
    blocking: (_current, _blocked, event) => (event.target as IDBDatabase).close(),
  });
  return storeOver(db);
}

async function newest(db: IDBPDatabase<RecordSchema>, most: number): Promise<readonly CheckHead[]> {
  const heads: CheckHead[] = [];
  let cursor = await db.transaction('checks').store.index('started').openCursor(null, 'prev');
  while (cursor !== null && heads.length < most) {
    heads.push(cursor.value);
    cursor = await cursor.continue();
  }
  return heads;
}

/** The places of all events of a check. */
function allOf(check: string): IDBKeyRange {
  return IDBKeyRange.bound([check, 0], [check, Infinity]);
}

function storeOver(db: IDBPDatabase<RecordSchema>): EntryStore {
  async function putHead(head: CheckHead): Promise<void> {
    const tx = db.transaction('checks', 'readwrite', DURABLE);
    await Promise.all([tx.store.put(head), tx.done]);
  }
  async function entries(check: string): Promise<readonly StoredEntry[]> {
    return db.getAll('events', allOf(check));
  }
  return {
    place: 'disk',
    begin: putHead,
    async append(check, index, event, link) {
      const tx = db.transaction('events', 'readwrite', DURABLE);
      await Promise.all([tx.store.add({ check, index, event, ...(link === undefined ? {} : { link }) }), tx.done]);
    },
    close: putHead,
    events: async (check) => (await entries(check)).map(({ event }) => event).filter(isCheckEvent),
    entries,
    head: (check) => db.get('checks', check),
    async addLog(head, log, clips) {
      const tx = db.transaction(['checks', 'events', 'clips'], 'readwrite', DURABLE);
      const events = tx.objectStore('events');
      await Promise.all([
        tx.objectStore('checks').add(head),
        ...log.map((entry, index) => events.add({ ...entry, check: head.id, index })),
        ...clips.map((clip) => tx.objectStore('clips').add(clip)),
        tx.done,
      ]);
    },
    async heads(most) {
      if (most !== undefined) return newest(db, most);
      const heads = await db.getAll('checks');
      return heads.sort((a, b) => b.startedAt.localeCompare(a.startedAt));
    },
    async keepClip(clip) {
      await db.put('clips', clip);
    },
    clip: (id) => db.get('clips', id),
    async dropOldestClip() {
      const tx = db.transaction('clips', 'readwrite');
      const oldest = await tx.store.index('kept').openCursor();
      if (oldest) await oldest.delete();
      await tx.done;
      return oldest !== null;
    },
    async remove(check) {
      const tx = db.transaction(['checks', 'events', 'clips'], 'readwrite', DURABLE);
      const clips = tx.objectStore('clips');
      const events = await tx.objectStore('events').getAll(allOf(check));
      const sounds = events.flatMap(({ event }) => (event.type === 'callout' ? (event.clip ?? []) : []));
      await Promise.all([
        tx.objectStore('checks').delete(check),
        tx.objectStore('events').delete(allOf(check)),
        ...sounds.map((id) => clips.delete(id)),
        tx.done,
      ]);
    },
  };
}
