import 'fake-indexeddb/auto';
import { forceCloseDatabase } from 'fake-indexeddb';
import { openDB, type IDBPDatabase } from 'idb';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { diskStore } from '../../../src/record/disk-store.ts';
import { keepingStore, type RecordNotice } from '../../../src/record/keeping-store.ts';
import { diskRehearsals } from '../../../src/record/rehearsal-shelf.ts';
import type { CheckHead } from '../../../src/record/record-store.ts';

const head = (id: string, startedAt: string): CheckHead => ({
  id,
  startedAt,
  rigId: 'engine-31',
  rigName: 'Engine 31',
  operator: 'A. Okafor',
  planTitle: 'Full cab check',
  state: 'finished',
  verdict: 'pass',
});

describe('the store on the disk', () => {
  it('keeps the checks of a store of version 1, which had no order by date', async () => {
    const old = await openDB('old', 1, {
      upgrade(database) {
        database.createObjectStore('checks', { keyPath: 'id' });
        database.createObjectStore('events', { keyPath: ['check', 'index'] });
        database.createObjectStore('clips', { keyPath: 'id' }).createIndex('kept', 'kept');
      },
    });
    await old.put('checks', head('a', '2026-03-02T07:00:00Z'));
    await old.put('events', { check: 'a', index: 0, event: { type: 'end', at: 5 } });
    old.close();
    const store = await diskStore('old');
    expect((await store.heads(5)).map(({ id }) => id)).toEqual(['a']);
    expect(await store.events('a')).toEqual([{ type: 'end', at: 5 }]);
  });

  it('lets a newer build in another tab go on, and refuses to write from then on instead of keeping it waiting', async () => {
    const store = await diskStore('shared');
    await store.begin(head('a', '2026-03-02T07:00:00Z'));
    const newer = await new Promise<IDBPDatabase>((resolve, reject) => {
      const blocked = (): void => reject(new Error('The newer build waits for this tab to be closed.'));
      openDB('shared', 99, { blocked }).then(resolve, reject);
    });
    expect(await newer.count('checks')).toBe(1);
    await expect(store.begin(head('b', '2026-03-03T07:00:00Z'))).rejects.toThrow();
    expect(await newer.count('checks')).toBe(1);
    newer.close();
  });

  it('gives the newest checks without reading the others', async () => {
    const store = await diskStore('newest');
    for (const day of ['03', '01', '05', '02', '04']) await store.begin(head(day, `2026-03-${day}T07:00:00Z`));
    expect((await store.heads(2)).map(({ id }) => id)).toEqual(['05', '04']);
    expect((await store.heads()).map(({ id }) => id)).toEqual(['05', '04', '03', '02', '01']);
  });

  it('takes a check out with its events and sounds, and leaves the others', async () => {
    const store = await diskStore('remove');
    const sound = new Blob(['sound']);
    for (const id of ['a', 'b']) {
      await store.begin(head(id, '2026-03-02T07:00:00Z'));
      await store.append(id, 0, {
        type: 'callout',
        at: 0,
        end: 1,
        heard: 'x',
        confidence: 1,
        source: 'voice',
        clip: `${id}-0`,
      });
      await store.keepClip({ id: `${id}-0`, check: id, kept: 1, wav: sound });
    }
    await store.remove('a');
    expect((await store.heads()).map(({ id }) => id)).toEqual(['b']);
    expect(await store.events('a')).toEqual([]);
    expect(await store.clip('a-0')).toBeUndefined();
    expect(await store.events('b')).toHaveLength(1);
    expect((await store.clip('b-0'))?.id).toBe('b-0');
  });
});

/** Every connection that is opened from now on, so that a test can do to it what a browser may. */
function connections(): IDBDatabase[] {
  const opened: IDBDatabase[] = [];
  const open = indexedDB.open.bind(indexedDB);
  vi.spyOn(indexedDB, 'open').mockImplementation((...which) => {
    const request = open(...which);
    request.addEventListener('success', () => opened.push(request.result));
    return request;
  });
  return opened;
}

describe('a database that the browser ends', () => {
  afterEach(() => vi.restoreAllMocks());

  it('is opened again by the next piece of work, for checks and rehearsals', async () => {
    const opened = connections();
    const store = await diskStore('ended');
    const rehearsals = await diskRehearsals('ended');
    await store.begin(head('a', '2026-03-02T07:00:00Z'));
    // Its type asks for the class, its code for the object.
    type Closable = Parameters<typeof forceCloseDatabase>[0];
    for (const connection of opened.splice(0)) forceCloseDatabase(connection as unknown as Closable);
    await store.append('a', 0, { type: 'end', at: 5 });
    await rehearsals.keep({ id: 'r', trainee: 'P. Serrano', wall: '2026-03-02T07:00:00Z' });
    expect((await store.heads()).map(({ id }) => id)).toEqual(['a']);
    expect(await store.events('a')).toEqual([{ type: 'end', at: 5 }]);
    expect(await rehearsals.all()).toHaveLength(1);
  });

  it('for a newer build in another tab is said to be just that, and the check goes on in memory', async () => {
    const notices: RecordNotice[] = [];
    const store = keepingStore(await diskStore('taken-over'), (notice) => notices.push(notice));
    await store.begin(head('a', '2026-03-02T07:00:00Z'));
    const newer = await openDB('taken-over', 99);
    await store.append('a', 0, { type: 'end', at: 5 });
    expect(notices).toEqual(['newer-build']);
    expect(store.place).toBe('memory');
    expect(await store.events('a')).toEqual([{ type: 'end', at: 5 }]);
    expect(await newer.count('events')).toBe(0);
    newer.close();
  });
});

describe('past rehearsals on the disk', () => {
  const kept = (id: string): { id: string; trainee: string; wall: string; score: number } => ({
    id,
    trainee: 'P. Serrano',
    wall: '2026-03-02T07:00:00Z',
    score: 80,
  });

  it('are beside the checks of a store of version 2, which had none, and outlive the page', async () => {
    const old = await openDB('old-2', 2, {
      upgrade(database) {
        database.createObjectStore('checks', { keyPath: 'id' }).createIndex('started', 'startedAt');
        database.createObjectStore('events', { keyPath: ['check', 'index'] });
        database.createObjectStore('clips', { keyPath: 'id' }).createIndex('kept', 'kept');
      },
    });
    await old.put('checks', head('a', '2026-03-02T07:00:00Z'));
    old.close();
    await (await diskRehearsals('old-2')).keep(kept('r'));
    expect((await (await diskStore('old-2')).heads()).map(({ id }) => id)).toEqual(['a']);
    expect(await (await diskRehearsals('old-2')).all()).toEqual([kept('r')]);
  });

  it('are removed one by one', async () => {
    const shelf = await diskRehearsals('rehearsals');
    for (const id of ['a', 'b']) await shelf.keep(kept(id));
    await shelf.remove('a');
    expect(await shelf.all()).toEqual([kept('b')]);
  });
});
