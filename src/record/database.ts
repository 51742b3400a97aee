import { openDB } from 'idb';
import type { DBSchema, IDBPDatabase } from 'idb';
import type { CheckHead, Clip, KeptRehearsal, StoredEntry } from './record-store.ts';

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

/** Gives the open database; each piece of work asks for it anew, since a browser may end a connection at any moment. */
export type Connection = () => Promise<RecordDatabase>;

/**
 * Connects to the one database of this device. Rejects when the browser has none, denies it (private mode, blocked site data),
 * or holds a newer schema than this build knows.
 */
export async function connect(name: string): Promise<Connection> {
  let open: Promise<RecordDatabase> | undefined;
  const forget = (): void => {
    open = undefined;
  };
  const connection: Connection = () => {
    open ??= openDatabase(name, forget).catch((error: unknown) => {
      forget();
      throw error;
    });
    return open;
  };
  await connection();
  return connection;
}

/** `ended`: the connection is of no use any more. */
async function openDatabase(name: string, ended: () => void): Promise<RecordDatabase> {
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
    // A newer build in another tab waits for this one: let it go on. From then on this build is refused.
    blocking(_current, _blocked, event) {
      (event.target as IDBDatabase).close();
      ended();
    },
    // The browser has closed it: the disk was in trouble, or site data was cleared.
    terminated: ended,
  });
}
