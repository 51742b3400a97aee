import { openDB } from 'idb';
import type { DBSchema, IDBPDatabase } from 'idb';
import type { CheckHead, Clip, StoredEntry } from './record-store.ts';
import type { KeptRehearsal } from './rehearsal-shelf.ts';

interface RecordSchema extends DBSchema {
  checks: { key: string; value: CheckHead; indexes: { started: string } };
  events: { key: [check: string, index: number]; value: StoredEntry & { check: string; index: number } };
  clips: { key: string; value: Clip; indexes: { kept: number } };
  rehearsals: { key: string; value: KeptRehearsal };
}

export type RecordDatabase = IDBPDatabase<RecordSchema>;

export const DATABASE = 'two-needles';

/** 2: checks by their start, so that the newest are there before all the others are read. 3: past rehearsals. */
const VERSION = 3;

/**
 * Opens the one database of this device. Rejects when the browser has none, denies it (private mode, blocked site data),
 * or holds a newer schema than this build knows.
 */
export async function openDatabase(name: string): Promise<RecordDatabase> {
  if (typeof indexedDB === 'undefined') throw new DOMException('This browser has no IndexedDB.', 'NotSupportedError');
  return openDB<RecordSchema>(name, VERSION, {
    upgrade(database, old, _to, tx) {
      if (old < 1) {
        database.createObjectStore('checks', { keyPath: 'id' });
        database.createObjectStore('events', { keyPath: ['check', 'index'] });
        database.createObjectStore('clips', { keyPath: 'id' }).createIndex('kept', 'kept');
      }
      if (old < 2) tx.objectStore('checks').createIndex('started', 'startedAt');
      if (old < 3) database.createObjectStore('rehearsals', { keyPath: 'id' });
    },
    // A newer build in another tab waits for this one: let it go on, and let this tab fall back.
    blocking: (_current, _blocked, event) => (event.target as IDBDatabase).close(),
  });
}
