import 'fake-indexeddb/auto';
import { beforeAll, describe, expect, it } from 'vitest';
import type { CheckEvent } from '../../../src/check/event.ts';
import { CheckSession } from '../../../src/running/check-session.ts';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import { openDevice } from '../../../src/record/device-key.ts';
import { diskStore } from '../../../src/record/disk-store.ts';
import { keepingStore } from '../../../src/record/keeping-store.ts';
import { checkEvents } from '../../../src/record/log.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { CheckHead, EntryStore } from '../../../src/record/record-store.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { verifyLog } from '../../../src/record/verify.ts';
import { APP, newSigner, WALL, wholeCheck } from './logs.ts';

const HEAD: CheckHead = {
  id: 'c1',
  startedAt: '2026-05-04T07:30:00Z',
  rigId: 'engine-31',
  rigName: 'Engine 31',
  operator: 'A. Okafor',
  planTitle: 'Full cab check',
  state: 'running',
};
const OVER: CheckHead = { ...HEAD, state: 'finished', verdict: 'pass' };
let signer: Signer;
beforeAll(async () => {
  signer = await newSigner();
});
const chained = (inner: EntryStore, by: Signer = signer): ChainedStore => chainedStore(inner, by, () => WALL, APP);

async function appendAll(store: ChainedStore, events: readonly CheckEvent[], from = 0): Promise<void> {
  for (const [at, event] of events.entries()) await store.append('c1', from + at, event);
}

async function faults(store: ChainedStore): Promise<string[]> {
  const log = await store.log('c1');
  return log === undefined ? ['no log'] : (await verifyLog(log)).faults.map(({ kind }) => kind);
}

describe('a record that chains as it writes', () => {
  const events = wholeCheck();

  it('gives a sealed log that verifies, with every event as it was called', async () => {
    const store = chained(await diskStore('sealed'));
    await store.begin(HEAD);
    await appendAll(store, events);
    await store.close(OVER);
    expect(await faults(store)).toEqual([]);
    expect(checkEvents((await store.log('c1'))!)).toEqual(events);
    expect(await store.events('c1')).toEqual(events);
  });

  it('has the link of an event on the disk before the event is answered', async () => {
    const disk = await diskStore('before');
    const store = chained(disk);
    await store.begin(HEAD);
    const kept: (string | undefined)[] = [];
    const ports = {
      events: { append: (event: CheckEvent) => store.append('c1', kept.length, event) },
      answers: { say: () => undefined },
      onState: () => undefined,
      onProblem: () => undefined,
    };
    const start = events[0]!;
    if (start.type !== 'start') throw new Error('no start');
    const session = await CheckSession.begin(start, ports);
    kept.push((await disk.entries('c1'))[0]?.link?.digest);
    await session.submit(events[1]!);
    kept.push((await disk.entries('c1'))[1]?.link?.digest);
    expect(kept).toEqual([expect.stringMatching(/^[0-9a-f]{64}$/), expect.stringMatching(/^[0-9a-f]{64}$/)]);
  });

  it('goes on with the chain after a page was killed, at any event', async () => {
    for (const cut of [1, 7, events.length - 1]) {
      const name = `killed-${cut}`;
      const first = chained(await diskStore(name));
      await first.begin(HEAD);
      await appendAll(first, events.slice(0, cut));
      const second = chained(await diskStore(name));
      await appendAll(second, events.slice(cut), cut);
      await second.close(OVER);
      expect(await faults(second), `cut at ${cut}`).toEqual([]);
    }
  });

  it('seals a check that was over, but killed before its seal', async () => {
    const disk = await diskStore('unsealed');
    const first = chained(disk);
    await first.begin(HEAD);
    await appendAll(first, events);
    await disk.close({ ...OVER, ...(await disk.head('c1').then((head) => head?.log && { log: head.log })) });
    expect(await faults(chained(disk))).toEqual([]);
  });

  it('says of a check that still runs that it is unfinished', async () => {
    const store = chained(memoryStore());
    await store.begin(HEAD);
    await appendAll(store, events.slice(0, 9));
    expect(await faults(store)).toEqual(['unfinished']);
  });

  it('chains events that an earlier version kept without links, in the same way each time', async () => {
    const disk = await diskStore('older');
    await disk.begin(HEAD);
    for (const [at, event] of events.slice(0, 20).entries()) await disk.append('c1', at, event);
    const store = chained(disk);
    await appendAll(store, events.slice(20), 20);
    await store.close(OVER);
    expect(await faults(store)).toEqual([]);
    expect(await chained(disk).log('c1')).toEqual(await store.log('c1'));
  });

  it('keeps the chain whole when the disk is lost in the middle', async () => {
    const disk = await diskStore('lost-chain');
    let broken = false;
    const failing: EntryStore = {
      ...disk,
      append: (...all) => (broken ? Promise.reject(new DOMException('gone', 'UnknownError')) : disk.append(...all)),
    };
    const store = chained(keepingStore(failing, () => undefined));
    await store.begin(HEAD);
    await appendAll(store, events.slice(0, 12));
    broken = true;
    await appendAll(store, events.slice(12), 12);
    await store.close(OVER);
    expect(await faults(store)).toEqual([]);
  });

  it('refuses a second tab on the same check, which then breaks nothing', async () => {
    const disk = await diskStore('two-tabs-chained');
    const one = chained(disk);
    await one.begin(HEAD);
    await appendAll(one, events.slice(0, 5));
    const other = chained(disk);
    await other.append('c1', 5, events[5]!);
    await expect(one.append('c1', 5, events[6]!)).rejects.toMatchObject({ name: 'ConstraintError' });
    await expect(one.append('c1', 5, events[6]!)).rejects.toMatchObject({ name: 'ConstraintError' });
    await appendAll(other, events.slice(6), 6);
    await one.close(OVER);
    await other.close(OVER);
    expect(await faults(chained(disk))).toEqual([]);
    expect(await disk.events('c1')).toEqual(events);
  });

  it('keeps no event that comes after the seal', async () => {
    const store = chained(memoryStore());
    await store.begin(HEAD);
    await appendAll(store, events);
    await store.close(OVER);
    await store.append('c1', events.length, { type: 'end', at: 9e6 });
    expect(await faults(store)).toEqual([]);
  });

  it('binds a clip to the callout it belongs to', async () => {
    const store = chained(memoryStore());
    await store.begin(HEAD);
    await store.append('c1', 0, events[0]!);
    void store.keepClip({ id: 'c1-1', check: 'c1', kept: 1, wav: new Blob(['sound']) });
    await store.append('c1', 1, { ...events[1]!, clip: 'c1-1' } as CheckEvent);
    // printf sound | sha256sum
    expect((await store.events('c1'))[1]).toMatchObject({
      clipDigest: 'dd29442deca69f52c50006b831cb216edf78a7da33748f0a80ff19f2ebe57ecd',
    });
  });

  it('takes an officer’s remark and countersignature after the seal, and not before', async () => {
    const store = chained(memoryStore());
    await store.begin(HEAD);
    await appendAll(store, events);
    await expect(store.sign('c1', { officer: 'Capt. R. Whitehorse' })).rejects.toThrow(/over/);
    await store.close(OVER);
    await store.sign('c1', { officer: 'Capt. R. Whitehorse', text: 'Watch the secondary.' });
    await store.sign('c1', { officer: 'Capt. R. Whitehorse' });
    expect(await faults(store)).toEqual([]);
    expect((await store.log('c1'))!.entries.slice(-2).map(({ event }) => event.type)).toEqual([
      'remark',
      'countersigned',
    ]);
    expect((await store.heads())[0]).toMatchObject({ verdict: 'pass', countersigned: ['Capt. R. Whitehorse'] });
  });
});

describe('the checks of a device', () => {
  const sealOf = async (store: ChainedStore, check: string) => {
    const seal = (await store.log(check))!.entries.find(({ event }) => event.type === 'seal')!;
    return seal.event.type === 'seal' ? { ...seal.event, digest: seal.digest } : undefined;
  };
  async function finish(store: ChainedStore, id: string): Promise<void> {
    await store.begin({ ...HEAD, id });
    for (const [at, event] of wholeCheck().slice(0, 3).entries()) await store.append(id, at, event);
    await store.close({ ...OVER, id });
  }

  it('are numbered and chained to each other, also over two tabs and a page that was closed', async () => {
    const open = async (): Promise<ChainedStore> => {
      const device = await openDevice(undefined, 'numbers-key');
      return chainedStore(await diskStore('numbers'), device.signer, () => WALL, APP, device);
    };
    const [one, other] = [await open(), await open()];
    await finish(one, 'a');
    await finish(other, 'b');
    const later = await open();
    await finish(later, 'c');
    const [a, b, c] = [await sealOf(later, 'a'), await sealOf(later, 'b'), await sealOf(later, 'c')];
    expect([a?.number, b?.number, c?.number]).toEqual([1, 2, 3]);
    expect([a?.last, b?.last, c?.last]).toEqual([undefined, a?.digest, b?.digest]);
  });

  it('have no gap and no number twice when a page is killed between the number and the seal', async () => {
    const disk = await diskStore('killed-seal');
    const device = await openDevice(undefined, 'killed-seal-key');
    let dead = false;
    const dying: EntryStore = {
      ...disk,
      append: (...all) =>
        dead && all[2].type === 'seal' ? Promise.reject(new Error('the page is gone')) : disk.append(...all),
    };
    const first = chainedStore(dying, device.signer, () => WALL, APP, device);
    dead = true;
    await finish(first, 'a');
    expect((await disk.entries('a')).some(({ event }) => event.type === 'seal')).toBe(false);
    const second = chainedStore(disk, device.signer, () => WALL, APP, device);
    await finish(second, 'b');
    expect((await sealOf(second, 'a'))?.number).toBe(1);
    expect((await sealOf(second, 'b'))?.number).toBe(2);
    expect((await verifyLog((await second.log('a'))!)).faults).toEqual([]);
  });

  it('put no old seal over what was called after it was made', async () => {
    const disk = await diskStore('called-after');
    const device = await openDevice(undefined, 'called-after-key');
    const dying: EntryStore = {
      ...disk,
      append: (...all) => (all[2].type === 'seal' ? Promise.reject(new Error('gone')) : disk.append(...all)),
    };
    await finish(
      chainedStore(dying, device.signer, () => WALL, APP, device),
      'a',
    );
    const second = chainedStore(disk, device.signer, () => WALL, APP, device);
    await second.append('a', 3, { type: 'time', at: 90_000 });
    await finish(second, 'b');
    await second.close({ ...OVER, id: 'a' });
    const log = (await second.log('a'))!;
    expect((await verifyLog(log)).faults).toEqual([]);
    expect(log.entries.map(({ event }) => event.type).slice(-2)).toEqual(['time', 'seal']);
    expect([await sealOf(second, 'b'), await sealOf(second, 'a')].map((seal) => seal?.number)).toEqual([2, 3]);
  });

  it('are not held up by a last seal whose check was taken out', async () => {
    const store = chained(memoryStore());
    await finish(store, 'a');
    await store.remove('a');
    await finish(store, 'b');
    expect((await sealOf(store, 'b'))?.number).toBe(2);
    expect((await store.heads()).map(({ id }) => id)).toEqual(['b']);
  });

  it('wait for their seal where the number cannot be kept, and get it when it can', async () => {
    const device = await openDevice(undefined, 'full-key');
    let full = true;
    const keep: typeof device.seals.keep = (seal) =>
      full ? Promise.reject(new DOMException('full', 'QuotaExceededError')) : device.seals.keep(seal);
    const seals = { ...device.seals, keep };
    const store = chainedStore(memoryStore(), device.signer, () => WALL, APP, { ...device, seals });
    await finish(store, 'a');
    expect(await sealOf(store, 'a').catch(() => 'none')).toBe('none');
    full = false;
    expect((await sealOf(store, 'a'))?.number).toBe(1);
  });
});

describe('the key of a device', () => {
  it('is made once, and cannot be read', async () => {
    const [one, two] = await Promise.all([openDevice(undefined, 'one-key'), openDevice(undefined, 'one-key')]);
    expect(one.signer.publicKey).toEqual(two.signer.publicKey);
    expect((await openDevice(undefined, 'one-key')).signer.publicKey).toEqual(one.signer.publicKey);
    const db = await new Promise<IDBDatabase>((done, failed) => {
      const request = indexedDB.open('one-key');
      request.onsuccess = () => done(request.result);
      request.onerror = () => failed(request.error ?? new Error('not opened'));
    });
    const pair = await new Promise<CryptoKeyPair>((done) => {
      const request = db.transaction('keys').objectStore('keys').get('device') as IDBRequest<CryptoKeyPair>;
      request.onsuccess = () => done(request.result);
    });
    await expect(crypto.subtle.exportKey('pkcs8', pair.privateKey)).rejects.toThrow();
  });
});
