import { strToU8, zipSync } from 'fflate';
import { beforeAll, describe, expect, it } from 'vitest';
import { chainedStore } from '../../../src/record/chained-store.ts';
import { importChecks } from '../../../src/record/import.ts';
import type { LogFile } from '../../../src/record/log.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { APP, copyOf, newSigner, officersLog, WALL } from './logs.ts';

let signer: Signer;
let log: LogFile;
beforeAll(async () => {
  signer = await newSigner();
  log = await officersLog(signer);
});

/** Every line that importing the file says. */
async function said(name: string, content: Uint8Array | string): Promise<string[]> {
  const store = chainedStore(memoryStore(), signer, () => WALL, APP);
  const { logs } = await importChecks([{ name, file: new Blob([content as BlobPart]) }], store);
  return logs.map(({ line }) => line);
}
const bytes = (json: unknown): Uint8Array => strToU8(JSON.stringify(json));
const changed = (change: (copy: Record<string, Record<string, unknown>> & { entries: object[] }) => void): string => {
  const copy = copyOf(log) as never;
  change(copy);
  return JSON.stringify(copy);
};

describe('a file that is refused says where, what, and what to do, in one line', () => {
  it('a zip without a log, and zips too deep', async () => {
    expect(await said('a.zip', zipSync({ 'holiday.jpg': strToU8('x') }))).toEqual([
      'a.zip: There is no log in this zip. Choose a zip that was exported here.',
    ]);
    const inner = zipSync({ 'log.json': bytes(log) }, { level: 0 });
    const deep = zipSync({ 'a.zip': zipSync({ 'b.zip': inner }, { level: 0 }) }, { level: 0 });
    expect(await said('deep.zip', deep)).toEqual([
      'deep.zip, a.zip, b.zip: There is a zip within a zip within the zip. Import the inner files.',
    ]);
    expect(await said('cut.zip', zipSync({ 'log.json': bytes(log) }).slice(0, 500))).toEqual([
      'cut.zip: The zip is cut short, or is not a zip. Export or copy the file again.',
    ]);
  });

  it('what is no log, or one of which a part is missing', async () => {
    expect(await said('a.json', '{"a": 1}')).toEqual([
      'a.json: This is not a log of a check. Choose an exported zip, or the log.json in it.',
    ]);
    expect(await said('a.json', JSON.stringify(log).slice(0, 99))).toEqual([
      'a.json: The log is cut short, or is not JSON. Copy or export it again.',
    ]);
    expect(
      await said(
        'a.json',
        changed((copy) => (copy['header']!['version'] = 99)),
      ),
    ).toEqual([
      'a.json: The log has the format version 99; this program knows version 3. Update the program on this device, then try again.',
    ]);
    expect(
      await said(
        'a.json',
        changed((copy) => delete copy['header']!['created']),
      ),
    ).toEqual([
      "a.json: The log's header.created is missing or not as it should be; the log was damaged or edited there.",
    ]);
    expect(
      await said(
        'a.json',
        changed((copy) => copy.entries.splice(4, 1, {})),
      ),
    ).toEqual([
      'a.json, entries.4.index: Entry 4 has not the shape of an entry (its index); the log was damaged or edited there.',
    ]);
    expect(
      await said(
        'a.json',
        changed((copy) => Object.assign(copy.entries[4]!, { note: 'x' })),
      ),
    ).toEqual([
      'a.json, entries.4.note: Entry 4 has not the shape of an entry (its note); the log was damaged or edited there.',
    ]);
  });

  it('a file in a zip that is damaged, and a zip of a size that is not read here', async () => {
    const damaged = zipSync({ 'log.json': bytes(log) });
    damaged[3] = 0;
    expect(await said('a.zip', damaged)).toEqual([
      'a.zip, log.json: A file in the zip is damaged. Export or copy the file again.',
    ]);
    for (const [offset, value] of [
      [10, [0xff, 0xff]],
      [16, [0xff, 0xff, 0xff, 0xff]],
    ] as const) {
      // The count of files, and the place of the directory, in the last 22 bytes (PKWARE APPNOTE, 4.3.16).
      const large = zipSync({ 'log.json': bytes(log) });
      large.set(value, large.length - 22 + offset);
      expect(await said('a.zip', large)).toEqual([
        'a.zip: The zip is larger than 4 GB, or has more than 65,534 files in it. Export it in parts.',
      ]);
    }
  });
});

describe('a zip that is taken', () => {
  const UNBOUND = 'It does not verify: transcript.vtt is bound to the log by nothing: there is no manifest.';

  it('with logs in folders of their own, once each, whatever the folders are called', async () => {
    const two = zipSync({ 'Engine B: May/log.json': bytes(log), 'two/log.json': bytes(log) });
    expect(await said('two.zip', two)).toEqual([
      'Engine 31, 2026-05-04T07:30:00Z: added.',
      'Engine 31, 2026-05-04T07:30:00Z: is here already.',
    ]);
  });

  it('holds a file to the log beside it, and to no other', async () => {
    const beside = zipSync({ 'log.json': bytes(log), 'transcript.vtt': strToU8('') });
    expect(await said('a.zip', beside)).toEqual([`Engine 31, 2026-05-04T07:30:00Z: added. ${UNBOUND}`]);
    const within = zipSync({ 'log.json': bytes(log), 'a/log.json': bytes(log), 'a/transcript.vtt': strToU8('') });
    expect(await said('a.zip', within)).toEqual([
      'Engine 31, 2026-05-04T07:30:00Z: added.',
      `Engine 31, 2026-05-04T07:30:00Z: is here already. ${UNBOUND}`,
    ]);
  });

  it('tells how far it is after each log', async () => {
    const store = chainedStore(memoryStore(), signer, () => WALL, APP);
    const steps: number[] = [];
    const zip = zipSync({ 'a/log.json': bytes(log), 'b/log.json': bytes(log) });
    const file = new Blob([zip]);
    await importChecks([{ name: 'a.zip', file }], store, { onProgress: (done) => void steps.push(done) });
    expect(steps).toEqual([0.5, 1]);
  });
});
