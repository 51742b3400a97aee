import 'fake-indexeddb/auto';
import { describe, expect, it } from 'vitest';
import type { CheckEvent } from '../../../src/check/event.ts';
import { diskStore } from '../../../src/record/disk-store.ts';
import type { RecordNotice } from '../../../src/record/keeping-store.ts';
import { keepingStore } from '../../../src/record/keeping-store.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { CheckHead, Clip, EntryStore } from '../../../src/record/record-store.ts';

const HEAD: CheckHead = {
  id: 'c1',
  startedAt: '2026-03-02T07:00:00.000Z',
  rigId: 'engine-31',
  rigName: 'Engine 31',
  operator: 'A. Okafor',
  planTitle: 'Full cab check',
  state: 'running',
};
const tick = (at: number): CheckEvent => ({ type: 'time', at });
const clip = (id: string, kept: number): Clip => ({ id, check: 'c1', kept, wav: new Blob(['sound']) });

/** A store over another one that refuses work as `refuse` says. */
function failing(
  store: EntryStore,
  refuse: (method: 'append' | 'close' | 'keepClip') => Error | undefined,
): EntryStore {
  const tried = async (method: 'append' | 'close' | 'keepClip', work: () => Promise<void>): Promise<void> => {
    const error = refuse(method);
    if (error !== undefined) throw error;
    await work();
  };
  return {
    ...store,
    append: (check, index, event) => tried('append', () => store.append(check, index, event)),
    close: (head) => tried('close', () => store.close(head)),
    keepClip: (sound) => tried('keepClip', () => store.keepClip(sound)),
  };
}
const full = (): Error => new DOMException('full', 'QuotaExceededError');

describe('a store that keeps a check going', () => {
  it('gives the log back from the disk in the order it was called', async () => {
    const store = await diskStore('order');
    await store.begin(HEAD);
    for (let index = 0; index < 12; index += 1) await store.append('c1', index, tick(index * 10));
    const again = await diskStore('order');
    expect((await again.events('c1')).map((event) => event.at)).toEqual(
      Array.from({ length: 12 }, (_, index) => index * 10),
    );
    expect(await again.heads()).toEqual([HEAD]);
  });

  it('keeps the logs of two checks apart', async () => {
    const store = await diskStore('apart');
    await store.append('c1', 0, tick(1));
    await store.append('c10', 0, tick(2));
    expect(await store.events('c1')).toEqual([tick(1)]);
  });

  it('refuses a second writer instead of overwriting what was said', async () => {
    const notices: RecordNotice[] = [];
    const store = keepingStore(await diskStore('two-tabs'), (notice) => notices.push(notice));
    await store.append('c1', 0, tick(1));
    await expect(store.append('c1', 0, tick(2))).rejects.toThrow();
    expect(await store.events('c1')).toEqual([tick(1)]);
    expect(notices).toEqual(['other-tab']);
  });

  it('goes on in memory, with one notice, where there is no storage at all', async () => {
    const notices: RecordNotice[] = [];
    const store = keepingStore(undefined, (notice) => notices.push(notice));
    await store.begin(HEAD);
    await store.append('c1', 0, tick(1));
    expect(store.place).toBe('memory');
    expect(await store.events('c1')).toEqual([tick(1)]);
    expect(notices).toEqual(['not-kept']);
  });

  it('gives up clips, oldest first, when the disk is full, and keeps the event', async () => {
    const disk = await diskStore('full');
    await disk.keepClip(clip('old', 1));
    await disk.keepClip(clip('older', 0));
    await disk.keepClip(clip('new', 2));
    let refusals = 2;
    const notices: RecordNotice[] = [];
    const store = keepingStore(
      failing(disk, (method) => (method === 'append' && refusals-- > 0 ? full() : undefined)),
      (notice) => notices.push(notice),
    );
    await store.append('c1', 0, tick(1));
    expect(await disk.events('c1')).toEqual([tick(1)]);
    expect([await disk.clip('older'), await disk.clip('old')]).toEqual([undefined, undefined]);
    expect((await disk.clip('new'))?.id).toBe('new');
    expect(notices).toEqual(['clips-given-up']);
  });

  it('loses no event when the disk fails in the middle of a check', async () => {
    const disk = await diskStore('lost');
    let broken = false;
    const notices: RecordNotice[] = [];
    const store = keepingStore(
      failing(disk, (method) => (broken && method === 'append' ? new DOMException('gone', 'UnknownError') : undefined)),
      (notice) => notices.push(notice),
    );
    await store.append('c1', 0, tick(1));
    broken = true;
    await store.append('c1', 1, tick(2));
    broken = false;
    await store.append('c1', 2, tick(3));
    expect(await disk.events('c1')).toEqual([tick(1), tick(2), tick(3)]);
    expect(notices).toEqual(['disk-lost', 'disk-back']);
  });

  it('gives up the sound, not the log, when a clip does not fit', async () => {
    const disk = memoryStore();
    const notices: RecordNotice[] = [];
    const store = keepingStore(
      failing(disk, (method) => (method === 'keepClip' ? full() : undefined)),
      (notice) => notices.push(notice),
    );
    await store.keepClip(clip('a', 1));
    await store.append('c1', 0, tick(1));
    expect(await disk.events('c1')).toEqual([tick(1)]);
    expect(notices).toEqual(['clips-given-up']);
  });

  it('gives up the oldest sounds for a new one, and stops when that makes no room', async () => {
    const disk = memoryStore();
    for (let kept = 0; kept < 12; kept += 1) await disk.keepClip(clip(`old-${kept}`, kept));
    let refusals = 2;
    const notices: RecordNotice[] = [];
    const store = keepingStore(
      failing(disk, (method) => (method === 'keepClip' && refusals-- > 0 ? full() : undefined)),
      (notice) => notices.push(notice),
    );
    await store.keepClip(clip('new', 100));
    expect((await disk.clip('new'))?.id).toBe('new');
    expect([await disk.clip('old-0'), await disk.clip('old-1')]).toEqual([undefined, undefined]);
    expect((await disk.clip('old-2'))?.id).toBe('old-2');
    refusals = Infinity;
    await store.keepClip(clip('newer', 101));
    await store.keepClip(clip('newest', 102));
    // Something else fills the disk: not every old sound is thrown after it.
    expect((await disk.clip('old-11'))?.id).toBe('old-11');
    expect(notices).toEqual(['clips-given-up']);
  });

  it('lists a check that ended after the disk was lost once, with its verdict', async () => {
    const disk = memoryStore();
    let broken = false;
    const store = keepingStore(
      failing(disk, (method) => (broken && method === 'close' ? full() : undefined)),
      () => undefined,
    );
    await store.begin(HEAD);
    broken = true;
    await store.close({ ...HEAD, state: 'finished', verdict: 'pass' });
    expect((await store.heads()).map((head) => [head.id, head.state, head.verdict])).toEqual([
      ['c1', 'finished', 'pass'],
    ]);
  });
});
