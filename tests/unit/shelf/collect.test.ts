import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { collectCommand } from '../../../src/cli/collect/collect-command.ts';
import { nodeXml } from '../../../src/cli/collect/node-xml.ts';
import { newKeyFile, openKeyFile } from '../../../src/cli/shared/key-file.ts';
import { newHeader, sealedLog } from '../../../src/record/chain.ts';
import type { KnownKey } from '../../../src/record/known-keys.ts';
import type { LogFile } from '../../../src/record/log.ts';
import type { SealPlace } from '../../../src/record/seal-chain.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { openPlace } from '../../../src/shelf/open-place.ts';
import { withNotes, type Note } from '../../../src/shelf/objects.ts';
import { piecesOf } from '../../../src/shelf/parcel.ts';
import { fetchCheck, listMonth } from '../../../src/shelf/reading.ts';
import { writeRetention } from '../../../src/shelf/retention.ts';
import { writeShelfFile } from '../../../src/shelf/shelf-file.ts';
import { sha256 } from '../../../src/units/sha256.ts';
import { without } from '../../../src/units/without.ts';
import { S3, shelfOf, standIn, type StandIn } from '../../support/shelf/stand-in.ts';
import { only, startOf, Walk } from '../check/support/say.ts';
import { newSigner, signed } from '../record/logs.ts';

const NOW = '2026-07-01T00:00:00.000Z';
const EVENTS = new Walk(startOf({ plan: only('approach') })).sayAll('chocks-set').events;
const folder = mkdtempSync(join(tmpdir(), 'shelf-'));
afterAll(() => rmSync(folder, { recursive: true }));

let store: StandIn;
let tablet: Signer;
let last: SealPlace | undefined;
let keys: KnownKey[];
beforeEach(async () => {
  store = standIn('s3', () => NOW);
  tablet = await newSigner();
  last = undefined;
  keys = [{ name: 'Engine 31 tablet', key: tablet.publicKey }];
});

async function check(day: string): Promise<LogFile> {
  const wall = `${day}T08:00:00.000Z`;
  const id = `check-${(last?.number ?? 0) + 1}`;
  const log = await sealedLog(newHeader(id, wall, 'test', tablet), EVENTS, wall, tablet, last);
  last = { number: (last?.number ?? 0) + 1, digest: log.end.head };
  return log;
}

/** Puts what a device puts of a log. */
async function shelve(log: LogFile, by = tablet, station = 'station-3'): Promise<void> {
  const place = openPlace(shelfOf(S3), { fetch: store.fetch, xml: nodeXml, wall: () => NOW });
  for (const piece of await piecesOf(log, by.publicKey, station, undefined)) {
    const bytes = await piece.bytes();
    if (bytes !== undefined) await place.put(piece.name, bytes, 'once');
  }
}

async function collect(...argv: string[]) {
  const file = join(folder, 'shelf.json');
  // Without a station it reads all of them.
  writeFileSync(file, writeShelfFile(without(shelfOf(S3, { keys }), 'station')));
  const lines: string[] = [];
  const printer = { out: (line: string) => void lines.push(line), err: (line: string) => void lines.push(line) };
  const status = await collectCommand([file, ...argv], printer, { fetch: store.fetch, xml: nodeXml, wall: () => NOW });
  return { status, text: lines.join('\n') };
}
async function openedKey(path: string) {
  const opened = await openKeyFile(path);
  if (!opened.ok) throw new Error(opened.problem.what);
  return opened.value;
}
const into = (name: string, since = '2026-01-01'): string[] => ['--since', since, '--out', join(folder, name)];

describe('collect', () => {
  it('takes only what is new, whatever day the clock of a tablet said', async () => {
    await shelve(await check('2026-05-04'));
    expect((await collect(...into('new', '2026-05-01'))).text).toContain('Collected 1 checks');
    // The clock was lost: the next checks are of years ago, and so is what is asked for by day.
    await shelve(await check('2019-01-01'));
    store.asked.length = 0;
    // Nothing is of a day from then on: what is new is seen by its number alone.
    const next = await collect(...into('new', '2026-06-01'));
    expect(next).toMatchObject({ status: 0, text: expect.stringContaining('Collected 1 checks') as string });
    expect(store.asked.filter((each) => /^GET .*json/.test(each))).toHaveLength(2);
  });

  it('takes what came after its neighbours, though a lost clock dates it before all that was asked for', async () => {
    await shelve(await check('2026-04-01'));
    const late = await check('2019-01-01');
    await shelve(await check('2026-05-04'));
    const first = await collect(...into('late', '2026-05-01'));
    expect(first.text).toMatch(/^MISSING: of Engine 31 tablet there is neither check nor head of number 2,/m);
    await shelve(late);
    const next = await collect(...into('late', '2026-05-01'));
    expect(next).toMatchObject({ status: 0, text: expect.stringContaining('Collected 1 checks') as string });
  });

  it('keeps remarks of other devices in the log, and tells whose key it does not know', async () => {
    const officer = await newSigner();
    const log = await check('2026-05-04');
    await shelve(log);
    const by = { officer: 'Capt. R. Whitehorse', wall: NOW, key: officer.publicKey };
    await shelve(await signed(log, { type: 'countersigned', ...by }, officer), officer, 'station-1');
    await shelve(await signed(log, { type: 'countersigned', ...by }, officer), officer);
    keys = [];
    const { status, text } = await collect(...into('remarks'));
    expect(status).toBe(1);
    expect(text).toMatch(/UNKNOWN KEY .*the newest is number 1/);
    expect(text).toContain('1 checks, 2 remarks');
  });

  it('counts a tablet that moved to another station once', async () => {
    await shelve(await check('2026-05-04'));
    await shelve(await check('2026-05-05'), tablet, 'station-1');
    await shelve(await check('2026-05-06'));
    expect(await collect(...into('moved'))).toMatchObject({ status: 0 });
  });

  it('says that a device has signed two checks of one number', async () => {
    const first = await check('2026-05-04');
    await shelve(first);
    last = undefined;
    await shelve(await check('2026-05-05'));
    const { status, text } = await collect(...into('twice'));
    expect(status).toBe(1);
    expect(text).toMatch(/^WRONG: of Engine 31 tablet: .*both say that they are number 1/m);
  });

  it('tells when a whole station is gone that was there before', async () => {
    await shelve(await check('2026-05-04'));
    await shelve(await check('2026-05-05'));
    expect(await collect(...into('gone'))).toMatchObject({ status: 0 });
    store.objects.clear();
    const { status, text } = await collect(...into('gone'));
    expect(status).toBe(1);
    expect(text.match(/^GONE: station-3\/heads\//gm)).toHaveLength(2);
  });

  it('misses what a store lists and does not give', async () => {
    for (const day of ['2026-05-04', '2026-05-05', '2026-05-06']) await shelve(await check(day));
    const names = [...store.objects.keys()].sort();
    const [hidden = ''] = names.filter((name) => name.includes('/checks/2026-05-04/'));
    const [bare = ''] = names.filter((name) => name.includes('/checks/2026-05-05/'));
    const [head = ''] = names.filter((name) => name.includes('_2026-05-05_'));
    // Of one only the check is kept back; of the other the check is gone, and its head a name alone.
    store.objects.delete(bare);
    const { fetch } = store;
    const keepsBack = (url: string): boolean => [hidden, head].some((name) => url.endsWith(`/${name}`));
    store = {
      ...store,
      fetch: (url, init) => (keepsBack(url) ? Promise.resolve(new Response(null, { status: 404 })) : fetch(url, init)),
    };
    const { status, text } = await collect(...into('hollow'));
    expect(status).toBe(1);
    expect(text).toMatch(/^MISSING: number 1 of Engine 31 tablet/m);
    expect(text).toContain(`WRONG: ${hidden}: It is listed, but the store does not give it.`);
    expect(text).toContain(`WRONG: ${head}: It is listed, but the store does not give it.`);
  });

  it('takes the rest where one object was made to end the reading', async () => {
    await shelve(await check('2026-05-04'));
    const deep = '['.repeat(50_000) + ']'.repeat(50_000);
    const key = JSON.stringify(tablet.publicKey);
    const [digest, day] = ['f'.repeat(64), '2026-05-04'];
    const bad = {
      [`station-3/heads/${digest}/00000001_${day}_${digest}.json`]: `{"device":${key},"format":"two-needles-head","seal":${deep},"version":1}`,
      [`station-3/notes/${day}/${digest}_${digest}.json`]: `{"check":"${digest}","entry":${deep},"format":"two-needles-note","version":1}`,
      [`retention/${day}_${digest}.json`]: deep,
    };
    for (const [name, text] of Object.entries(bad)) store.objects.set(name, new TextEncoder().encode(text));
    const { status, text } = await collect(...into('deep'));
    expect(status).toBe(1);
    for (const name of Object.keys(bad)) expect(text).toContain(`WRONG: ${name}: `);
    expect(text).toContain('Collected 1 checks');
  });

  it('has the same remarks in the log whatever came first and lies beside them', async () => {
    const [one, other] = [await newSigner(), await newSigner()];
    const log = await check('2026-05-04');
    await shelve(log);
    const says = async (to: LogFile, by: Signer, officer: string): Promise<LogFile> =>
      signed(to, { type: 'countersigned', officer, wall: NOW, key: by.publicKey }, by);
    await shelve(await says(log, one, 'Capt. R. Whitehorse'), one);
    // The same remark, where it does not belong.
    const [note = ''] = [...store.objects.keys()].filter((name) => name.includes('/notes/'));
    store.objects.set(note.replace('2026-05-04', '2026-05-01'), store.objects.get(note) ?? new Uint8Array());
    const officers = (): unknown[] => {
      const path = join(folder, 'lines', 'station-3', 'checks', '2026-05-04', log.end.head, 'log.json');
      const { entries } = JSON.parse(readFileSync(path, 'utf8')) as LogFile;
      return entries.flatMap(({ event }) => (event.type === 'countersigned' ? [event.officer] : []));
    };
    await collect(...into('lines'));
    expect(officers()).toEqual(['Capt. R. Whitehorse']);
    // A longer line after the same seal comes later.
    await shelve(await says(await says(log, other, 'Lt. M. Sandoval'), other, 'Chief D. Aalto'), other);
    const { text } = await collect(...into('lines'));
    // What it takes the place of is not lost without a word.
    expect(text).toContain(`BESIDE: ${note} is signed`);
    expect(officers()).toEqual(['Lt. M. Sandoval', 'Chief D. Aalto']);
  });

  it('lays a line of remarks of any length into a log, each once', async () => {
    const log = await check('2026-05-04');
    const event = { type: 'countersigned', officer: 'x', wall: NOW, key: tablet.publicKey } as const;
    const line = Array.from({ length: 20_000 }, (_, at): Note => {
      const previous = at === 0 ? log.end.head : String(at - 1);
      return { index: log.entries.length + at, previous, digest: String(at), event };
    });
    expect(withNotes(log, [...line, ...line]).log.end).toEqual({ count: log.end.count + 20_000, head: '19999' });
  });

  it('fetches sounds where they are asked for, and tells one that is not what was heard', async () => {
    const sound = new TextEncoder().encode('a sound');
    const clipDigest = await sha256(sound);
    const heard = EVENTS.map((event) => (event.type === 'callout' ? { ...event, clip: 'c', clipDigest } : event));
    const header = newHeader('heard', NOW, 'test', tablet);
    const log = await sealedLog(header, heard, NOW, tablet);
    await shelve(log);
    const name = `station-3/clips/2026-07-01/${log.end.head}_${clipDigest}.wav`;
    store.objects.set(name, sound);
    expect((await collect(...into('sounds'), '--clips')).text).toContain('1 checks, 0 remarks and 1 sounds');
    store.objects.set(name, new TextEncoder().encode('another'));
    expect((await collect(...into('other-sounds'), '--clips')).text).toContain(
      `WRONG: ${name}: It is not the sound that was heard.`,
    );
  });

  it('makes an index by which a month is listed, and fetches what is looked at', async () => {
    await shelve(await check('2026-05-04'));
    await shelve(await check('2026-05-05'));
    await shelve(await check('2026-05-06'));
    await collect(...into('index', '2026-05-01'), '--index');
    const place = openPlace(shelfOf(S3), { fetch: store.fetch, xml: nodeXml, wall: () => NOW });
    const heads = [...store.objects.keys()].filter((name) => name.includes('/heads/')).sort();
    store.objects.delete(heads[1] ?? '');
    store.objects.delete((heads[2] ?? '').replace(/heads.*_(.*)_(.*)$/, 'checks/$1/$2'));
    const month = await listMonth(place, '2026-05', undefined);
    if ('what' in month) throw new Error(month.what);
    expect(month.rows.map(({ says, isThere }) => [says?.check, says?.rig, isThere])).toEqual([
      ['check-3', 'Engine 31', false],
      ['check-1', 'Engine 31', true],
    ]);
    expect(month.gaps.map(({ missing }) => missing)).toEqual([[[2, 2]]]);
    const [gone, whole] = await Promise.all(month.rows.map(({ head }) => fetchCheck(place, head)));
    expect(gone).toMatchObject({
      ok: false,
      problem: { what: expect.stringMatching(/does not have check number 3 .* signed that there is one/) as string },
    });
    expect(whole?.ok).toBe(true);
  });

  it('counts up to no number that a name alone says', async () => {
    const place = openPlace(shelfOf(S3), { fetch: store.fetch, xml: nodeXml, wall: () => NOW });
    for (let nth = 0; nth < 50; nth += 1) {
      const device = String(nth).padStart(64, '0');
      store.objects.set(`station-3/heads/${device}/99999999_2026-05-04_${device}.json`, new Uint8Array());
    }
    const month = await listMonth(place, '2026-05', 'station-3');
    if ('what' in month) throw new Error(month.what);
    expect(month.gaps).toHaveLength(50);
    expect(month.gaps[0]?.missing).toEqual([[1, 99_999_998]]);
  });

  it('breaks off in one line where the shelf does not let it in', async () => {
    store = { ...store, fetch: () => Promise.resolve(new Response(null, { status: 403 })) };
    expect(await collect(...into('out'))).toEqual({
      status: 2,
      text: expect.stringMatching(
        /^collect: Tamarack Flats: The shelf does not allow this \(403\)\..*\nCollected 0 .*The rest was not looked at\.$/,
      ) as string,
    });
  });

  it('takes for old neither what is to come nor what a lost clock has dated', async () => {
    const desk = join(folder, 'clock-desk.json');
    keys = [...keys, await newKeyFile(desk, 'Desk')];
    for (const day of ['2026-01-02', '2026-06-01', '2019-01-01']) await shelve(await check(day));
    const future = await collect('--older-than', '2027-01-01', '--delete', '--key', desk);
    expect(future).toMatchObject({ status: 2, text: expect.stringContaining('still to come') as string });
    expect(store.objects.size).toBe(6);
    const done = await collect('--older-than', '90', '--delete', '--key', desk);
    expect(done.text).toMatch(/^station-3\/checks\/2019-01-01\/.* stays: /m);
    expect(done.text).toContain('Deleted 1 checks');
    // Nobody's word covers it, so it is missed when it is gone.
    for (const name of store.objects.keys()) if (name.includes('/2019-01-01/')) store.objects.delete(name);
    const after = await collect(...into('clock', '2018-01-01'));
    expect(after.text).toMatch(/^MISSING: number 3 of Engine 31 tablet/m);
    expect(after.text).toContain('1 checks are deleted by the word of Desk');
    // Nor does a word that was given beforehand.
    const { signer } = await openedKey(desk);
    const early = await writeRetention('2099-01-01', NOW, signer);
    store.objects.set(early.name, early.bytes);
    expect((await collect(...into('early', '2018-01-01'))).text).toContain(`WRONG: ${early.name}: `);
  });

  it('deletes what is old only after a signed word, and the chain stays', async () => {
    for (const day of ['2026-01-02', '2026-01-03', '2026-06-01']) await shelve(await check(day));
    const desk = join(folder, 'desk.json');
    const known = await newKeyFile(desk, 'Desk');
    const seen = await collect('--older-than', '90');
    expect(seen.text).toContain('2 checks, 0 remarks and 0 sounds of days before 2026-04-02 would be deleted');
    expect((await collect('--older-than', '90', '--delete', '--key', desk)).text).toContain('not among the known keys');
    expect(store.objects.size).toBe(6);
    keys = [...keys, known];
    expect((await collect('--older-than', '90', '--delete', '--key', desk)).text).toContain('Deleted 2 checks');
    expect([...store.objects.keys()].filter((name) => name.includes('/checks/'))).toHaveLength(1);
    const after = await collect(...into('retired', '2025-01-01'));
    expect(after).toMatchObject({ status: 0 });
    expect(after.text).toContain(
      '2 checks are deleted by the word of Desk (2026-07-01T00:00:00.000Z: all before 2026-04-02)',
    );
    // Without that word they are missed.
    for (const name of store.objects.keys()) if (name.startsWith('retention/')) store.objects.delete(name);
    expect((await collect(...into('stolen', '2025-01-01'))).text).toMatch(/^MISSING: number 1 of Engine 31 tablet/m);
  });
});
