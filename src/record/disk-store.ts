import { DATABASE, connect, type Connection, type RecordDatabase } from './database.ts';
import type { CheckHead, EntryStore, StoredEntry } from './record-store.ts';
import { isCheckEvent } from './log.ts';
import { namedClip } from './named-clip.ts';

/** `strict`: the browser reports success only after it has asked the system to flush, so that a power cut loses nothing that was answered. */
const DURABLE = { durability: 'strict' } as const;

/** The store of checks in the device's database. Rejects as `connect` does. */
export async function diskStore(name = DATABASE): Promise<EntryStore> {
  return storeOver(await connect(name));
}

async function newest(db: RecordDatabase, most: number): Promise<readonly CheckHead[]> {
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

function storeOver(open: Connection): EntryStore {
  async function putHead(head: CheckHead): Promise<void> {
    const tx = (await open()).transaction('checks', 'readwrite', DURABLE);
    await Promise.all([tx.store.put(head), tx.done]);
  }
  async function entries(check: string): Promise<readonly StoredEntry[]> {
    return (await open()).getAll('events', allOf(check));
  }
  return {
    place: 'disk',
    begin: putHead,
    async append(check, index, event, link) {
      const tx = (await open()).transaction('events', 'readwrite', DURABLE);
      await Promise.all([tx.store.add({ check, index, event, ...(link === undefined ? {} : { link }) }), tx.done]);
    },
    close: putHead,
    events: async (check) => (await entries(check)).map(({ event }) => event).filter(isCheckEvent),
    entries,
    head: async (check) => (await open()).get('checks', check),
    async addLog(head, log, clips) {
      const tx = (await open()).transaction(['checks', 'events', 'clips'], 'readwrite', DURABLE);
      const events = tx.objectStore('events');
      await Promise.all([
        tx.objectStore('checks').add(head),
        ...log.map((entry, index) => events.add({ ...entry, check: head.id, index })),
        ...clips.map((clip) => tx.objectStore('clips').add(clip)),
        tx.done,
      ]);
    },
    async heads(most) {
      if (most !== undefined) return newest(await open(), most);
      const heads = await (await open()).getAll('checks');
      return heads.sort((a, b) => b.startedAt.localeCompare(a.startedAt));
    },
    async keepClip(clip) {
      await (await open()).put('clips', clip);
    },
    clip: async (id) => (await open()).get('clips', id),
    async dropClip(id) {
      await (await open()).delete('clips', id);
    },
    async dropOldestClip() {
      const tx = (await open()).transaction('clips', 'readwrite');
      const oldest = await tx.store.index('kept').openCursor();
      if (oldest) await oldest.delete();
      await tx.done;
      return oldest !== null;
    },
    async remove(check) {
      const tx = (await open()).transaction(['checks', 'events', 'clips'], 'readwrite', DURABLE);
      const clips = tx.objectStore('clips');
      const events = await tx.objectStore('events').getAll(allOf(check));
      const sounds = events.flatMap(({ event }) => namedClip(event)?.id ?? []);
      await Promise.all([
        tx.objectStore('checks').delete(check),
        tx.objectStore('events').delete(allOf(check)),
        ...sounds.map((id) => clips.delete(id)),
        tx.done,
      ]);
    },
  };
}
