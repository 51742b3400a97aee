import 'fake-indexeddb/auto';
import { beforeAll, describe, expect, it } from 'vitest';
import type { CheckEvent } from '../../../src/check/event.ts';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import { diskStore } from '../../../src/record/disk-store.ts';
import { keepingStore, type RecordNotice } from '../../../src/record/keeping-store.ts';
import { checkEvents } from '../../../src/record/log.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { CheckHead, EntryStore } from '../../../src/record/record-store.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { verifyLog } from '../../../src/record/verify.ts';
import { APP, copyOf, newSigner, WALL, wholeCheck } from './logs.ts';

const HEAD: CheckHead = {
  id: 'c1',
  startedAt: WALL,
  rigId: 'engine-31',
  rigName: 'Engine 31',
  operator: 'A. Okafor',
  planTitle: 'Full cab check',
  state: 'running',
};
const DONE: CheckHead = { ...HEAD, state: 'finished', verdict: 'pass' };
const FULL = (): Error => new DOMException('full', 'QuotaExceededError');
const GONE = (): Error => new DOMException('gone', 'UnknownError');

let signer: Signer;
let events: CheckEvent[];
beforeAll(async () => {
  signer = await newSigner();
  // Every callout of the check has a sound.
  events = wholeCheck().map((event, at) => (event.type === 'callout' ? { ...event, clip: `s${at}` } : event));
});

/** The store with every write counted, and refused as `refuse` says of its number. */
function counted(disk: EntryStore, refuse: (write: number) => Error | undefined): EntryStore & { writes: number } {
  const store = { writes: 0 };
  const tried = (work: () => Promise<void>): Promise<void> => {
    const error = refuse(store.writes);
    store.writes += 1;
    return error === undefined ? work() : Promise.reject(error);
  };
  return Object.assign(store, {
    ...disk,
    begin: (head: CheckHead) => tried(() => disk.begin(head)),
    append: (...row: Parameters<EntryStore['append']>) => tried(() => disk.append(...row)),
    close: (head: CheckHead) => tried(() => disk.close(head)),
    keepClip: (clip: Parameters<EntryStore['keepClip']>[0]) => tried(() => disk.keepClip(clip)),
  });
}

function over(disk: EntryStore, notices: RecordNotice[] = []): ChainedStore {
  return chainedStore(
    keepingStore(disk, (notice) => notices.push(notice)),
    signer,
    () => WALL,
    APP,
  );
}

/** A whole check as a page keeps it: each sound, then its event; then the end, with its seal. */
async function keepCheck(store: ChainedStore): Promise<void> {
  await store.begin(HEAD);
  for (const [index, event] of events.entries()) {
    if (event.type === 'callout' && event.clip !== undefined) {
      const wav = new Blob([`sound ${index}`.padEnd(1000)]);
      await store.keepClip({ id: event.clip, check: 'c1', kept: index, wav });
    }
    await store.append('c1', index, event);
  }
  await store.close(DONE);
}

/** What was said, without the digests of the sounds that the record adds. */
const said = (kept: readonly CheckEvent[]): CheckEvent[] =>
  kept.map((event) => {
    if (event.type !== 'callout') return event;
    const bare: Partial<typeof event> = { ...event };
    delete (bare as { clipDigest?: string }).clipDigest;
    return bare as typeof event;
  });

describe('a check whose storage fails', () => {
  it.each([
    ['fails', GONE],
    ['is full', FULL],
  ])(
    'loses no event whichever write it is that %s, and has all of it on the disk in the end',
    async (_, error) => {
      const all = counted(memoryStore(), () => undefined);
      await keepCheck(over(all));
      expect(all.writes).toBeGreaterThan(80);
      for (let failing = 0; failing < all.writes; failing += 1) {
        const disk = memoryStore();
        const store = over(counted(disk, (write) => (write === failing ? error() : undefined)));
        await keepCheck(store);
        // The very last write is tried again with whatever comes after it.
        const kept = failing === all.writes - 1 ? await store.log('c1') : await over(disk).log('c1');
        expect(said(checkEvents(kept!)), `write ${failing}`).toEqual(copyOf(events));
        expect((await verifyLog(kept!)).faults, `write ${failing}`).toEqual([]);
      }
    },
    600_000,
  );

  it('goes on in memory from any write on, whole and sealed, and tells it once', async () => {
    for (const from of [0, 1, 2, 17, 40, 80]) {
      const notices: RecordNotice[] = [];
      const store = over(
        counted(memoryStore(), (write) => (write >= from ? GONE() : undefined)),
        notices,
      );
      await keepCheck(store);
      const log = (await store.log('c1'))!;
      expect(said(checkEvents(log))).toEqual(copyOf(events));
      expect((await verifyLog(log)).faults).toEqual([]);
      expect(store.place).toBe('memory');
      expect(notices.filter((notice) => notice === 'disk-lost')).toHaveLength(1);
    }
  });

  it('brings what it held to the disk, in order, when the disk works again, and says so', async () => {
    const disk = await diskStore('back');
    let broken = false;
    const notices: RecordNotice[] = [];
    const store = over(
      counted(disk, () => (broken ? GONE() : undefined)),
      notices,
    );
    await store.begin(HEAD);
    for (const [index, event] of events.entries()) {
      broken = index >= 5 && index < 20;
      await store.append('c1', index, event);
      expect(await store.events('c1')).toHaveLength(index + 1);
    }
    await store.close(DONE);
    expect(notices).toEqual(['disk-lost', 'disk-back']);
    expect(store.place).toBe('disk');
    expect(await over(await diskStore('back')).events('c1')).toEqual(copyOf(events));
  });
});

describe('a disk that fills up in the middle of a check', () => {
  /** A disk of so many bytes, as browsers do it: a write beyond them is refused, and what is given up counts no more. */
  function small(bytes: number): EntryStore {
    const disk = memoryStore();
    const sizes = new Map<string, number>();
    const clips: { id: string; kept: number }[] = [];
    const room = (): number => bytes - [...sizes.values()].reduce((sum, size) => sum + size, 0);
    const take = async (key: string, size: number, work: () => Promise<void>): Promise<void> => {
      if (size > room() + (sizes.get(key) ?? 0)) throw FULL();
      await work();
      sizes.set(key, size);
    };
    const length = (value: unknown): number => JSON.stringify(value).length;
    return {
      ...disk,
      begin: (head) => take(`head ${head.id}`, length(head), () => disk.begin(head)),
      close: (head) => take(`head ${head.id}`, length(head), () => disk.close(head)),
      append: (check, index, event, link) =>
        take(`${check} ${index}`, length({ event, link }), () => disk.append(check, index, event, link)),
      keepClip: (clip) =>
        take(`clip ${clip.id}`, clip.wav.size, async () => {
          await disk.keepClip(clip);
          clips.push(clip);
        }),
      async dropOldestClip() {
        const [oldest] = clips.sort((a, b) => a.kept - b.kept).splice(0, 1);
        if (oldest !== undefined) sizes.delete(`clip ${oldest.id}`);
        return disk.dropOldestClip();
      },
    };
  }

  it('keeps every event, gives up sounds oldest first, with one notice, and still verifies', async () => {
    const whole = memoryStore();
    await keepCheck(over(whole));
    const logBytes = JSON.stringify([await whole.head('c1'), await whole.entries('c1')]).length;
    // Room for the log and ten sounds.
    const disk = small(logBytes + 10_000);
    const notices: RecordNotice[] = [];
    const store = over(disk, notices);
    await keepCheck(store);
    expect(notices).toEqual(['clips-given-up']);
    const log = (await over(disk).log('c1'))!;
    expect(said(checkEvents(log))).toEqual(copyOf(events));
    expect((await verifyLog(log)).faults).toEqual([]);
    const kept = await Promise.all(
      events.map(async (event) =>
        event.type === 'callout' ? (await disk.clip(event.clip ?? '')) !== undefined : undefined,
      ),
    );
    const sounds = kept.filter((there) => there !== undefined);
    expect(sounds.filter(Boolean).length).toBeGreaterThanOrEqual(5);
    // Oldest first: what is left are the newest.
    expect(sounds.lastIndexOf(false)).toBeLessThan(sounds.indexOf(true));
  });

  it('keeps the log in memory, with a notice, when not even it fits', async () => {
    const notices: RecordNotice[] = [];
    const store = over(small(20_000), notices);
    await keepCheck(store);
    expect(notices).toEqual(['clips-given-up', 'disk-lost']);
    const log = (await store.log('c1'))!;
    expect(said(checkEvents(log))).toEqual(copyOf(events));
    expect((await verifyLog(log)).faults).toEqual([]);
  });
});
