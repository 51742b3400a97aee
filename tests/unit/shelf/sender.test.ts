import { describe, expect, it } from 'vitest';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import { headOfLog } from '../../../src/record/judged.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { ShelfKeeper } from '../../../src/shelf/keeper.ts';
import { AT_EASE, slower } from '../../../src/shelf/pacing.ts';
import type { Sent } from '../../../src/shelf/parcel.ts';
import type { GetAnswer, Place, PutAnswer, Refused } from '../../../src/shelf/place.ts';
import { Sender } from '../../../src/shelf/sender.ts';
import type { ShelfSetting } from '../../../src/shelf/shelf-disk.ts';
import { sha256 } from '../../../src/units/sha256.ts';
import { S3, shelfOf } from '../../support/shelf/stand-in.ts';
import { only, startOf, Walk } from '../check/support/say.ts';
import { logOfCheck, newSigner, WALL } from '../record/logs.ts';

const EVENTS = new Walk(startOf({ plan: only('approach') })).sayAll('chocks-set').events;
const SOUND = new Blob(['sound'], { type: 'audio/wav' });

/** A shelf that answers as it is told, and keeps what was put. */
class Shelf implements Pick<Place, 'put' | 'get'> {
  readonly names: string[] = [];
  readonly asked: string[] = [];
  answer: (name: string) => PutAnswer = () => ({ kind: 'put' });
  /** What lies under a name, by what was to be put there last. */
  there: (name: string, bytes: Uint8Array<ArrayBuffer>) => GetAnswer = (_name, bytes) => ({ kind: 'got', bytes });
  #last = new Uint8Array();
  get(name: string): Promise<GetAnswer> {
    return Promise.resolve(this.there(name, this.#last));
  }
  put(name: string, bytes: Uint8Array<ArrayBuffer>): Promise<PutAnswer> {
    this.asked.push(name);
    this.#last = bytes;
    const said = this.answer(name);
    if (said.kind === 'put') this.names.push(name);
    return Promise.resolve(said);
  }
  get kinds(): string[] {
    return this.names.map((name) => name.split('/')[1] ?? '');
  }
}

const refused = (why: Refused['why']): Refused => ({ kind: 'refused', why, problem: { what: 'No.' } });

async function tablet(checks: number) {
  const signer: Signer = await newSigner();
  const store: ChainedStore = chainedStore(memoryStore(), signer, () => WALL, 'test');
  const clipDigest = await sha256(new Uint8Array(await SOUND.arrayBuffer()));
  for (let nth = 0; nth < checks; nth += 1) {
    const events = EVENTS.map((event) =>
      event.type === 'callout' ? { ...event, clip: `clip-${nth}`, clipDigest } : event,
    );
    const log = await logOfCheck(events, signer, `check-${nth}`);
    const head = headOfLog(log);
    if (head === undefined) throw new Error('no head');
    await store.takeIn({ ...head, startedAt: `2026-05-0${nth + 1}T08:00:00Z` }, log, [
      { id: `clip-${nth}`, check: `check-${nth}`, kept: nth, wav: SOUND },
    ]);
  }
  const kept = new Map<string, Sent>();
  const sent = {
    all: () => Promise.resolve([...kept.values()]),
    keep: (each: Sent) => Promise.resolve(void kept.set(each.check, each)),
  };
  const shelf = new Shelf();
  const clock = { now: 0 };
  const free = { now: false };
  const sender = (clips = false): Sender =>
    new Sender({
      ...{ store, sent, own: signer.publicKey, station: 'station-3', random: () => 0 },
      place: shelf as unknown as Place,
      steady: () => clock.now,
      clips: () => clips || free.now,
    });
  return { store, signer, sent, shelf, clock, free, sender };
}

async function toRest(sender: Sender): Promise<void> {
  while ((await sender.turn()).did === 'put');
}

describe('what a tablet puts', () => {
  it('is the check and then its head, and sounds only where they were chosen', async () => {
    const { shelf, sender } = await tablet(1);
    await toRest(sender());
    expect(shelf.kinds).toEqual(['checks', 'heads']);
    await toRest(sender(true));
    expect(shelf.kinds).toEqual(['checks', 'heads', 'clips']);
    await toRest(sender(true));
    expect(shelf.names).toHaveLength(3);
  });

  it('is a countersignature later, without the check once more', async () => {
    const { shelf, sender, store } = await tablet(1);
    const one = sender();
    await toRest(one);
    await store.sign('check-0', { officer: 'Capt. R. Whitehorse' });
    one.look();
    await toRest(one);
    expect(shelf.kinds).toEqual(['checks', 'heads', 'notes']);
  });

  it('is of another device’s check only what was signed here', async () => {
    const { shelf, sender, store } = await tablet(0);
    const other = await newSigner();
    const log = await logOfCheck(EVENTS, other, 'other');
    const head = headOfLog(log);
    if (head === undefined) throw new Error('no head');
    await store.takeIn(head, log, []);
    const one = sender();
    await toRest(one);
    expect(shelf.names).toEqual([]);
    await store.sign('other', { officer: 'Capt. R. Whitehorse' });
    one.look();
    await toRest(one);
    expect(shelf.kinds).toEqual(['notes']);
  });

  it('is a countersignature, though the sounds that were going are not to go any more', async () => {
    const { shelf, sender, sent, store } = await tablet(1);
    await toRest(sender());
    // As it was left by a page that was closed after two of three sounds.
    const put = [...shelf.names, 'one.wav', 'other.wav'];
    await sent.keep({ check: 'check-0', officers: 0, done: false, clips: true, put });
    await store.sign('check-0', { officer: 'Capt. R. Whitehorse' });
    await toRest(sender());
    expect(shelf.kinds).toEqual(['checks', 'heads', 'notes']);
  });

  it('is no sound more once the wifi is left', async () => {
    const { shelf, sender, free } = await tablet(1);
    free.now = true;
    const one = sender();
    await one.turn();
    await one.turn();
    free.now = false;
    await toRest(one);
    expect(shelf.kinds).toEqual(['checks', 'heads']);
    expect(one.outbox.waiting).toBe(0);
    free.now = true;
    one.look();
    await toRest(one);
    expect(shelf.kinds).toEqual(['checks', 'heads', 'clips']);
  });

  it('is not taken for done where something else lies under its name', async () => {
    const { shelf, sender } = await tablet(2);
    shelf.answer = (name) => (name.includes('/checks/') ? { kind: 'there' } : { kind: 'put' });
    // Half of an upload.
    shelf.there = (name, bytes) => ({ kind: 'got', bytes: name === shelf.asked[0] ? bytes.slice(1) : bytes });
    const one = sender();
    await toRest(one);
    expect(one.outbox).toMatchObject({
      waiting: 1,
      went: 1,
      refused: [expect.stringMatching(/^station-3\/checks\/.*has something else under the name/) as string],
    });
    // No head tells of a check that is not there.
    expect(shelf.kinds).toEqual(['heads']);
    // Who may only put cannot see it.
    shelf.there = () => refused('rights');
    const other = sender();
    await toRest(other);
    expect(other.outbox).toMatchObject({ waiting: 0, refused: [] });
  });

  it('goes on with others where the shelf does not take one, and says which', async () => {
    const { shelf, sender } = await tablet(3);
    const one = sender();
    let first = '';
    shelf.answer = (name) => {
      if (first === '') first = name;
      return name === first ? refused('object') : { kind: 'put' };
    };
    await toRest(one);
    expect(shelf.kinds).toEqual(['checks', 'heads', 'checks', 'heads']);
    expect(one.outbox).toMatchObject({ waiting: 1, went: 2, refused: [`${first}: No.`] });
  });

  it('waits longer each time that nothing answers, says why, and goes on when it may', async () => {
    const { shelf, sender, clock } = await tablet(1);
    const one = sender();
    shelf.answer = () => refused('offline');
    const waits: number[] = [];
    for (let nth = 0; nth < 12; nth += 1) {
      const turn = await one.turn();
      if (turn.did !== 'wait') throw new Error('it did not wait');
      waits.push(turn.ms);
      clock.now += turn.ms;
    }
    // Half of what it may wait, since chance gives the least.
    expect(waits.slice(0, 4)).toEqual([2500, 5000, 10_000, 20_000]);
    expect(waits.at(-1)).toBe(1_800_000);
    expect(one.outbox).toMatchObject({ waiting: 1, trouble: 'No.' });
    shelf.answer = () => ({ kind: 'put' });
    await toRest(one);
    expect(one.outbox).toEqual({ waiting: 0, went: 1, refused: [] });
  });

  it('leaves a shelf alone for as long as it asks, and spreads tablets over the time', () => {
    const busy = { ...refused('busy'), after: 90_000 };
    expect(slower(AT_EASE, busy, 1000, () => 0).notBefore).toBe(91_000);
    expect(slower(AT_EASE, refused('busy'), 0, () => 0.999).notBefore).toBeGreaterThan(4900);
    // What people have to mend is not asked for again and again.
    expect(slower(AT_EASE, refused('rights'), 0, () => 0).notBefore).toBe(300_000);
  });
});

describe('the shelf of a page', () => {
  it('sends nothing while it is off, while its host is not confirmed, and while a check runs', async () => {
    const { store, sent, shelf } = await tablet(1);
    let setting: ShelfSetting | undefined = { file: shelfOf(S3), on: false, sounds: 'never' };
    let host: string | undefined = 'https://store.test';
    let now = 1_000_000;
    const waits: { readonly ms: number; readonly go: () => void }[] = [];
    const disk = {
      ...sent,
      forgetSent: () => Promise.resolve(),
      setting: () => Promise.resolve(setting),
      set: (next: ShelfSetting | undefined) => Promise.resolve(void (setting = next)),
    };
    const keeper = new ShelfKeeper({
      ...{ disk, store, random: () => 0, isFreeLink: () => false },
      clock: { steady: () => now },
      locks: { request: ((_name: string, _options: object, work: () => unknown) => work()) as LockManager['request'] },
      place: () => Promise.resolve(shelf as unknown as Place),
      unconfirmed: () => host,
      wait: (ms) => new Promise((go) => waits.push({ ms, go })),
    });
    const calm = (): Promise<void> => new Promise((go) => setTimeout(go));
    await keeper.begin();
    expect(keeper.state.kind).toBe('off');
    await keeper.set({ file: shelfOf(S3), on: true, sounds: 'never' });
    expect(keeper.state.kind).toBe('unconfirmed');
    await calm();
    expect(shelf.names).toEqual([]);
    host = undefined;
    keeper.kept();
    await keeper.begin();
    for (let turn = 0; turn < 5; turn += 1) await calm();
    expect([shelf.names.length, waits.map(({ ms }) => ms)]).toEqual([0, [120_000]]);
    // Long holds have nothing to keep for a minute; after two the check is over, or left.
    now += 120_000;
    waits[0]?.go();
    for (let turn = 0; turn < 20; turn += 1) await calm();
    expect(shelf.kinds).toEqual(['checks', 'heads']);
    // Another tab switches it off: this one sees it before it sends anything more.
    await store.sign('check-0', { officer: 'Capt. R. Whitehorse' });
    setting = { file: shelfOf(S3), on: false, sounds: 'never' };
    keeper.look();
    waits.at(-1)?.go();
    for (let turn = 0; turn < 20; turn += 1) await calm();
    expect([keeper.state.kind, shelf.kinds.length]).toEqual(['off', 2]);
  });
});
