import { openDB } from 'idb';
import type { DBSchema, IDBPDatabase } from 'idb';
import type { CheckEvent } from '../check/event.ts';
import type { CheckHead, Clip, RecordStore } from './record-store.ts';

interface RecordSchema extends DBSchema {
  checks: { key: string; value: CheckHead };
  events: { key: [check: string, index: number]; value: { check: string; index: number; event: CheckEvent } };
  clips: { key: string; value: Clip; indexes: { kept: number } };
}

const VERSION = 1;
/** `strict`: the browser reports success only after it has asked the system to flush, so that a power cut loses nothing that was answered. */
const DURABLE = { durability: 'strict' } as const;

/**
 * Opens the store in IndexedDB. Rejects when the browser has none, denies it (private mode, blocked site data),
 * or holds a newer schema than this build knows.
 */
export async function diskStore(name = 'two-needles'): Promise<RecordStore> {
  if (typeof indexedDB === 'undefined') throw new DOMException('This browser has no IndexedDB.', 'NotSupportedError');
  const db = await openDB<RecordSchema>(name, VERSION, {
    upgrade(database) {
      database.createObjectStore('checks', { keyPath: 'id' });
      database.createObjectStore('events', { keyPath: ['check', 'index'] });
      database.createObjectStore('clips', { keyPath: 'id' }).createIndex('kept', 'kept');
    },
    // A newer build in another tab waits for this one: let it go on, and let this tab fall back.
    blocking: (_current, _blocked, event) => (event.target as IDBDatabase).close(),
  });
  return storeOver(db);
}

function storeOver(db: IDBPDatabase<RecordSchema>): RecordStore {
  async function putHead(head: CheckHead): Promise<void> {
    const tx = db.transaction('checks', 'readwrite', DURABLE);
    await Promise.all([tx.store.put(head), tx.done]);
  }
  return {
    place: 'disk',
    begin: putHead,
    async append(check, index, event) {
      const tx = db.transaction('events', 'readwrite', DURABLE);
      await Promise.all([tx.store.add({ check, index, event }), tx.done]);
    },
    close: putHead,
    async events(check) {
      const rows = await db.getAll('events', IDBKeyRange.bound([check, 0], [check, Infinity]));
      return rows.map((row) => row.event);
    },
    async heads() {
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
  };
}
