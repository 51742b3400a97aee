import { strToU8, zipSync, type Zippable } from 'fflate';
import { beforeAll, describe, expect, it } from 'vitest';
import { chainedStore } from '../../../src/record/chained-store.ts';
import { importChecks, type Imported } from '../../../src/record/import.ts';
import type { LogFile } from '../../../src/record/log.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { APP, newSigner, officersLog, WALL } from './logs.ts';

let signer: Signer;
let log: LogFile;
let good: Uint8Array;
beforeAll(async () => {
  signer = await newSigner();
  log = await officersLog(signer);
  good = strToU8(JSON.stringify(log));
});

/** What one line says of a file that is refused; nothing of it is kept. */
async function refused(content: Uint8Array | string, name = 'x.zip'): Promise<string> {
  const store = chainedStore(memoryStore(), signer, () => WALL, APP);
  const { logs } = await importChecks([{ name, file: new Blob([content as BlobPart]) }], store);
  expect(logs.map(({ outcome }) => outcome)).toEqual(['refused'] satisfies Imported['outcome'][]);
  expect(await store.heads()).toEqual([]);
  expect(logs[0]!.line).not.toMatch(/\n/);
  return logs[0]!.line;
}
const zip = (files: Zippable): Uint8Array => zipSync(files, { level: 9 });

/** A zip whose directory says of its first file what `change` writes there (PKWARE APPNOTE, 4.3.12). */
function lying(files: Zippable, change: (directory: DataView) => void): Uint8Array {
  const bytes = zip(files);
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  const directory = view.getUint32(bytes.length - 22 + 16, true);
  change(new DataView(bytes.buffer, bytes.byteOffset + directory));
  return bytes;
}

describe('a file that is no honest export is refused in one line, and nothing of it is kept', () => {
  it.each(['../log.json', 'a/../../log.json', '/etc/log.json', 'C:/log.json', '..\\log.json'])(
    'a name that climbs out: %s',
    async (name) => {
      expect(await refused(zip({ [name]: good }))).toMatch(/leads out of its folder/);
    },
  );

  it('a file that unpacks to 65 MB', async () => {
    const large = lying({ 'log.json': good }, (directory) => directory.setUint32(24, 65 * 2 ** 20, true));
    expect(await refused(large)).toMatch(/more than 64 MB/);
  });

  it('a bomb: 8 MB of nothing in 8 kB', async () => {
    expect(await refused(zip({ 'log.json': new Uint8Array(8 * 2 ** 20) }))).toMatch(/200 times its size/);
  });

  it('a bomb that lies about its size', async () => {
    const bomb = lying({ 'log.json': new Uint8Array(8 * 2 ** 20) }, (directory) => directory.setUint32(24, 1000, true));
    expect(await refused(bomb)).toMatch(/damaged/);
  });

  it('a bomb in a bomb', async () => {
    const inner = zip({ 'log.json': new Uint8Array(8 * 2 ** 20) });
    expect(await refused(zip({ 'a.zip': inner }))).toMatch(/a\.zip.*200 times its size/);
  });

  it('files that lie over each other', async () => {
    const files = { 'log.json': good, b: strToU8('b') };
    expect(await refused(lying(files, (directory) => directory.setUint32(20, 50_000_000, true)))).toMatch(
      /over each other/,
    );
  });

  it('a zip in a zip in a zip', async () => {
    const inner = zip({ 'log.json': good });
    expect(await refused(zip({ 'a.zip': zip({ 'b.zip': inner }) }))).toMatch(/zip within a zip/);
  });

  it('a password', async () => {
    expect(await refused(lying({ 'log.json': good }, (directory) => directory.setUint16(8, 1, true)))).toMatch(
      /password/,
    );
  });

  it('a zip without a log', async () => {
    expect(await refused(zip({ 'holiday.jpg': strToU8('x') }))).toMatch(/no log in this zip/);
  });

  it('a zip that is cut short, wherever', async () => {
    const whole = zip({ 'log.json': good });
    for (let part = 1; part < 10; part += 1) {
      expect(await refused(whole.slice(0, (whole.length * part) / 10)), `at ${part} tenths`).toMatch(/cut short/);
    }
  });

  it('bytes that were hit in the middle', async () => {
    const whole = zip({ 'log.json': good });
    whole.fill(0xff, 200, 260);
    expect(await refused(whole)).toMatch(/damaged|cut short/);
  });

  it('JSON that is cut short, empty, or something else', async () => {
    const text = JSON.stringify(log);
    expect(await refused(text.slice(0, -20), 'a.json')).toMatch(/a\.json: The log is cut short/);
    expect(await refused('', 'empty.json')).toMatch(/cut short/);
    expect(await refused('[{"type":"start"}]', 'b.json')).toMatch(/not a log of a check/);
  });

  it('a log of a newer version', async () => {
    const newer = { ...log, header: { ...log.header, version: 4 } };
    expect(await refused(JSON.stringify(newer), 'n.json')).toMatch(/version 4; this program knows version 3.*Update/);
  });

  it.each([0, '1', null])('a log of a version that there never was: %s', async (version) => {
    const odd = { ...log, header: { ...log.header, version } };
    expect(await refused(JSON.stringify(odd), 'v.json')).toMatch(/not a log of a check|version.*not as it should be/);
  });

  it('a log with an entry that is none', async () => {
    const odd = { ...log, entries: log.entries.with(3, null as never) };
    expect(await refused(JSON.stringify(odd), 'o.json')).toMatch(/Entry 3 has not the shape/);
  });
});

describe('a log with a plan that no check could have begun with', () => {
  it('is kept to be read, and breaks nothing', async () => {
    const store = chainedStore(memoryStore(), signer, () => WALL, APP);
    const start = log.entries[0]!.event;
    if (start.type !== 'start') throw new Error('no start');
    const plan = { ...start.plan, steps: [{ id: 'x', title: 'x' }] };
    const odd = {
      ...log,
      entries: log.entries.with(0, { ...log.entries[0]!, event: { ...start, plan } as unknown as typeof start }),
    };
    const { logs } = await importChecks([{ name: 'odd.json', file: new Blob([JSON.stringify(odd)]) }], store);
    expect(logs.map(({ outcome }) => outcome)).toEqual(['added']);
    expect((await store.heads())[0]?.trouble).toMatch(/Entry 0 was edited/);
  });
});
