import 'fake-indexeddb/auto';
import { describe, expect, it } from 'vitest';
import type { CheckEvent } from '../../../src/check/event.ts';
import { diskStore } from '../../../src/record/disk-store.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { CheckHead, Clip, EntryStore } from '../../../src/record/record-store.ts';

const head = (id: string, day = '01'): CheckHead => ({
  id,
  startedAt: `2026-05-${day}T07:30:00Z`,
  rigId: 'engine-31',
  rigName: 'Engine 31',
  operator: 'A. Okafor',
  planTitle: 'Full cab check',
  state: 'running',
});
const tick = (at: number): CheckEvent => ({ type: 'time', at });
const callout = (clip: string): CheckEvent => ({
  ...{ type: 'callout', at: 1, end: 2, heard: 'x', confidence: 1, source: 'voice' },
  clip,
});
const clip = (id: string, kept: number, check = 'c1'): Clip => ({ id, check, kept, wav: new Blob([id]) });

let opened = 0;

describe.each<[string, () => Promise<EntryStore>]>([
  ['memory', () => Promise.resolve(memoryStore())],
  ['the disk', () => diskStore(`contract-${(opened += 1)}`)],
])('a store of checks in %s', (_, open) => {
  it('gives events back in their order, and keeps seals and remarks out of the check', async () => {
    const store = await open();
    await store.begin(head('c1'));
    const link = { index: 1, previous: 'a', digest: 'b' };
    await store.append('c1', 0, tick(1));
    await store.append('c1', 1, tick(2), link);
    await store.append('c1', 2, { type: 'seal', count: 2, head: 'b', wall: '' } as never);
    expect(await store.events('c1')).toEqual([tick(1), tick(2)]);
    expect((await store.entries('c1')).slice(0, 2)).toMatchObject([{ event: tick(1) }, { event: tick(2), link }]);
    expect((await store.entries('c1'))[0]?.link).toBeUndefined();
    expect(await store.events('other')).toEqual([]);
  });

  it('never writes over an event that is there', async () => {
    const store = await open();
    await store.append('c1', 0, tick(1));
    await expect(store.append('c1', 0, tick(9))).rejects.toMatchObject({ name: 'ConstraintError' });
    expect(await store.events('c1')).toEqual([tick(1)]);
  });

  it('takes a whole log in once', async () => {
    const store = await open();
    await store.addLog(head('c1'), [{ event: tick(1) }, { event: tick(2) }], [clip('s', 1)]);
    expect(await store.events('c1')).toEqual([tick(1), tick(2)]);
    expect((await store.clip('s'))?.check).toBe('c1');
    await expect(store.addLog(head('c1', '09'), [], [])).rejects.toMatchObject({ name: 'ConstraintError' });
    expect(await store.head('c1')).toEqual(head('c1'));
  });

  it('lists checks, the newest first, as many as are asked for, as they stand', async () => {
    const store = await open();
    for (const day of ['02', '04', '03']) await store.begin(head(`c${day}`, day));
    await store.close({ ...head('c03', '03'), state: 'finished', verdict: 'pass' });
    expect((await store.heads()).map(({ id, state }) => [id, state])).toEqual([
      ['c04', 'running'],
      ['c03', 'finished'],
      ['c02', 'running'],
    ]);
    expect((await store.heads(2)).map(({ id }) => id)).toEqual(['c04', 'c03']);
    expect(await store.head('c09')).toBeUndefined();
  });

  it('gives up the oldest sound first, and says when there is none left', async () => {
    const store = await open();
    for (const [id, kept] of [
      ['b', 2],
      ['a', 1],
      ['c', 3],
    ] as const)
      await store.keepClip(clip(id, kept));
    expect(await store.dropOldestClip()).toBe(true);
    expect([await store.clip('a'), (await store.clip('b'))?.id]).toEqual([undefined, 'b']);
    expect([await store.dropOldestClip(), await store.dropOldestClip()]).toEqual([true, true]);
    expect(await store.dropOldestClip()).toBe(false);
  });

  it('removes a check with its events and sounds, and nothing else', async () => {
    const store = await open();
    for (const id of ['c1', 'c2']) {
      await store.begin(head(id));
      await store.append(id, 0, callout(`${id}-s`));
      await store.keepClip(clip(`${id}-s`, 1, id));
    }
    await store.remove('c1');
    expect((await store.heads()).map(({ id }) => id)).toEqual(['c2']);
    expect([await store.events('c1'), await store.clip('c1-s')]).toEqual([[], undefined]);
    expect([(await store.events('c2')).length, (await store.clip('c2-s'))?.id]).toEqual([1, 'c2-s']);
  });
});

describe('the database of the device', () => {
  it('has the name it always had: under another, everything that was kept would be gone', async () => {
    await (await diskStore()).begin(head('c1'));
    expect((await indexedDB.databases()).map(({ name }) => name)).toContain('two-needles');
  });
});
