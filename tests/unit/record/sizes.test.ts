import { unzipSync, zipSync } from 'fflate';
import { beforeAll, expect, it } from 'vitest';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import { exportChecks } from '../../../src/record/export.ts';
import { findLogs } from '../../../src/record/find-logs.ts';
import { importChecks } from '../../../src/record/import.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import { APP, logOfCheck, newSigner, WALL, wholeCheck } from './logs.ts';

/** The largest log that is read, bytes; one of an hour has less than a sixteenth of it. */
const LARGEST = 16 * 2 ** 20;

async function told(file: Blob): Promise<string[]> {
  const lines: string[] = [];
  for await (const { found } of findLogs(file, 'a file', () => Promise.resolve()))
    lines.push(found.ok ? 'a log' : found.problem.what);
  return lines;
}

const spaces = (size: number): Uint8Array<ArrayBuffer> => new Uint8Array(size).fill(0x20);
const zipped = (size: number): Blob => new Blob([zipSync({ 'log.json': spaces(size) }, { level: 0 })]);

it.each([
  ['alone', (size: number) => new Blob([spaces(size)])],
  ['in a zip', zipped],
])('a log %s is read up to its largest size, and not a byte above it', async (_, file) => {
  expect(await told(file(LARGEST + 1))).toEqual(['The file is larger than any log.']);
  const [line, ...more] = await told(file(LARGEST));
  expect(more).toEqual([]);
  expect(line).toMatch(/JSON/);
});

/** By far more than signatures, which differ from one export to the next, change of a size; bytes. */
const SPARE = 1000;

let store: ChainedStore;
/** Size of each check's own zip. */
let sizes: readonly number[];
beforeAll(async () => {
  const signer = await newSigner();
  store = chainedStore(memoryStore(), signer, () => WALL, APP);
  for (const id of ['c1', 'c2', 'c3']) {
    const log = JSON.stringify(await logOfCheck(wholeCheck(), signer, id));
    await importChecks([{ name: id, file: new Blob([log]) }], store);
  }
  const { files } = await exportChecks(store, ['c1', 'c2', 'c3']);
  sizes = Object.values(unzipSync(new Uint8Array(await files[0]!.arrayBuffer()))).map(({ length }) => length);
});

async function checksIn(partBytes: number): Promise<number[]> {
  const { files } = await exportChecks(store, ['c1', 'c2', 'c3'], {}, partBytes);
  const counts: number[] = [];
  for (const file of files) counts.push(Object.keys(unzipSync(new Uint8Array(await file.arrayBuffer()))).length);
  return counts;
}

it('many checks are exported in parts that are no larger than asked, each with a check at least', async () => {
  const [one = 0, two = 0, three = 0] = sizes;
  expect(await checksIn(1)).toEqual([1, 1, 1]);
  expect(await checksIn(one + two + three + SPARE)).toEqual([3]);
  expect(await checksIn(one + two + SPARE)).toEqual([2, 1]);
});
