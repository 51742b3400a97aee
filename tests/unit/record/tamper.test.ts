import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import type { CheckEvent } from '../../../src/check/event.ts';
import { beforeAll, describe, expect, it } from 'vitest';
import { chainNext, headerDigest, sealNext, signedNext } from '../../../src/record/chain.ts';
import { deviceChains, placedSeal, type PlacedSeal } from '../../../src/record/device-chain.ts';
import { exportCheck } from '../../../src/record/export.ts';
import { findLogs } from '../../../src/record/find-logs.ts';
import { sealerOf, standingOf } from '../../../src/record/known-keys.ts';
import { logFile, type Entry, type LogEvent, type LogFile } from '../../../src/record/log.ts';
import { MANIFEST_NAME } from '../../../src/record/manifest.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { verifyLog } from '../../../src/record/verify.ts';
import { bad, good } from '../../../src/units/outcome.ts';
import { copyOf, firstVersionLog, newSigner, officersLog, packedBy, wholeCheck, WALL } from './logs.ts';

let device: Signer;
let stranger: Signer;
let log: LogFile;
let files: Record<string, Uint8Array>;
beforeAll(async () => {
  [device, stranger] = [await newSigner(), await newSigner()];
  log = await officersLog(device);
  files = await zipOf(log, device);
});

const zipOf = async (of: LogFile, by: Signer): Promise<Record<string, Uint8Array>> =>
  unzipSync(new Uint8Array(await (await exportCheck(of, packedBy(by))).arrayBuffer()));

/** What a station that knows the device's key is told of a zip: refusals, faults, unknown keys. */
async function said(zip: Record<string, Uint8Array>): Promise<string[]> {
  const known = [{ name: 'Engine 31 tablet', key: device.publicKey }];
  const lines: string[] = [];
  for await (const { found } of findLogs(new Blob([zipSync(zip)]), 'a.zip', () => Promise.resolve())) {
    if (!found.ok) {
      lines.push(found.problem.what);
      continue;
    }
    const { log: read, clips, files: beside } = found.value;
    const { faults, files: bound } = await verifyLog(read, clips, beside);
    lines.push(...faults.map(({ what }) => what));
    if (sealerOf(read.header, known).kind === 'unknown') lines.push('unknown key');
    if (bound.packer !== undefined && standingOf(bound.packer, known).kind === 'unknown') lines.push('unknown packer');
  }
  return lines;
}

/** The log's events under a chain and a seal made anew, by whoever: what a forger can do who has read FORMAT.md. */
async function forged(
  events: readonly LogEvent[],
  by: Signer,
  seal?: (head: string, count: number) => Promise<Entry>,
): Promise<LogFile> {
  const header = { ...log.header, device: by.publicKey };
  const first = await headerDigest(header);
  const entries: Entry[] = [];
  const head = (): string => entries.at(-1)?.digest ?? first;
  for (const event of events) entries.push(await chainNext(head(), entries.length, event));
  const make = seal ?? ((at, count) => sealNext(at, count, WALL, by));
  entries.push(await make(head(), entries.length));
  return logFile(header, entries, first);
}

const json = (value: unknown): Uint8Array => strToU8(JSON.stringify(value));
const rewritten = (name: string, change: (text: string) => string): Record<string, Uint8Array> => ({
  ...files,
  [name]: strToU8(change(strFromU8(files[name]!))),
});
const without = (name: string): Record<string, Uint8Array> =>
  Object.fromEntries(Object.entries(files).filter(([each]) => each !== name));

describe('an export that somebody has tampered with', () => {
  it('is whole, as it was written', async () => {
    expect(await said(files)).toEqual([]);
    expect(Object.keys(files).sort()).toEqual([
      'figures.csv',
      'log.json',
      'manifest.json',
      'report.html',
      'transcript.vtt',
    ]);
  });

  it.each([
    ['report', 'report.html', 'PASS', 'FAIL'],
    ['figures', 'figures.csv', 'pass', 'fail'],
    ['transcript', 'transcript.vtt', 'chocks', 'no chocks'],
  ])('with another %s', async (_what, name, from, to) => {
    expect(strFromU8(files[name]!)).toContain(from);
    expect(await said(rewritten(name, (text) => text.replace(from, to)))).toEqual([
      `${name} is not the file that was sealed.`,
    ]);
  });

  it('with the report of another check of the same device', async () => {
    const other = await zipOf(await officersLog(device, 'c2'), device);
    expect(await said({ ...files, 'report.html': other['report.html']! })).toEqual([
      'report.html is not the file that was sealed.',
    ]);
    expect(await said({ ...other, 'log.json': files['log.json']! })).toEqual([
      'manifest.json belongs to another log, or to an earlier state of this one.',
    ]);
  });

  it('with a file named like something that every object has, or one that cannot be read', async () => {
    expect(await said({ ...files, constructor: strToU8('x') })).toEqual([
      'constructor was put beside the log: the manifest does not name it.',
    ]);
    const beside = new Map(
      Object.keys(files).flatMap((name) =>
        name === 'log.json' ? [] : [[name, () => Promise.resolve(good(files[name]!.slice()))] as const],
      ),
    );
    const found = await verifyLog(
      log,
      new Map(),
      new Map([...beside, ['report.html', () => Promise.resolve(bad('gone'))]]),
    );
    expect(found.faults).toEqual([{ kind: 'file', what: 'report.html is not the file that was sealed.' }]);
    expect(found.files).toMatchObject({
      bound: ['figures.csv', 'transcript.vtt'].sort().reverse(),
      gone: [],
      loose: [],
    });
    beside.delete('report.html');
    expect((await verifyLog(log, new Map(), beside)).files.gone).toEqual(['report.html']);
  });

  it('without its manifest, or with a second report beside the first', async () => {
    expect(await said(without(MANIFEST_NAME))).toHaveLength(3);
    expect(await said({ ...files, 'report-final.html': strToU8('PASS') })).toEqual([
      'report-final.html was put beside the log: the manifest does not name it.',
    ]);
    expect(await said({ ...files, 'clips/0007.WAV': strToU8('x') })).toHaveLength(1);
    expect(await said({ ...files, 'clips/00007.wav': strToU8('x') })).toHaveLength(1);
  });

  it('with a manifest that was edited, that says a thing twice, or that a stranger has signed anew', async () => {
    const edited = (change: (text: string) => string): Promise<string[]> => said(rewritten(MANIFEST_NAME, change));
    expect(await edited((text) => text.replace('2026', '2027'))).toEqual([
      'The signature of manifest.json is not of its key: it was edited.',
    ]);
    expect(await edited((text) => text.replace('"version"', '"check": "c2", "version"'))).toEqual([
      'manifest.json names check twice.',
    ]);
    expect(await edited(() => '{}')).toEqual(['manifest.json is not a manifest, or was edited.']);
    expect(await said(await zipOf(log, stranger))).toEqual(['unknown packer']);
  });

  it('without one of its files is told by what is there, not refused', async () => {
    expect(await said(without('report.html'))).toEqual([]);
  });

  it('but to which the system has put files of its own is whole', async () => {
    expect(await said({ ...files, '.DS_Store': strToU8('x'), '__MACOSX/._log.json': strToU8('x') })).toEqual([]);
  });

  it('with a log re-chained and re-signed with a new key', async () => {
    const other = await forged(wholeCheck({ operator: 'M. Lindqvist' }), stranger);
    expect(await said({ 'log.json': json(other) })).toEqual(['unknown key']);
    expect(await said(await zipOf(other, stranger))).toEqual(['unknown key', 'unknown packer']);
  });

  it('with a log re-chained under the device’s own name', async () => {
    const other = await forged(wholeCheck({ operator: 'M. Lindqvist' }), stranger);
    const named = { ...other, header: log.header };
    expect(await said({ 'log.json': json(named) })).not.toEqual([]);
  });

  it('with a log turned into one of the first version, so that nothing binds its report', async () => {
    const older = { ...log, header: { ...log.header, version: 1 } };
    expect(await said({ ...without(MANIFEST_NAME), 'log.json': json(older) })).toContain(
      'The header was edited: the first entry is chained to another one.',
    );
  });

  it('with an object that says a thing twice', async () => {
    const twice = rewritten('log.json', (text) => text.replace('"heard": "', '"heard": "no ", "heard": "'));
    expect(await said(twice)).toEqual([expect.stringMatching(/two members "heard"/)]);
    const escaped = rewritten('log.json', (text) => text.replace('"heard": "', '"\\u0068eard": "no ", "heard": "'));
    expect(await said(escaped)).toEqual([expect.stringMatching(/two members "heard"/)]);
  });

  it('with two files of one name', async () => {
    expect(await said({ ...files, 'LOG.json': files['log.json']! })).toEqual(['The zip has two files of one name.']);
  });
});

describe('a log that its own device has sealed, and that cannot be', () => {
  const events = wholeCheck();
  const faults = async (changed: readonly LogEvent[]): Promise<string[]> =>
    (await verifyLog(await forged(changed, device))).faults.map(({ what }) => what);

  it('names a second start, a time before the start, and an end before its beginning', async () => {
    const callout = events.find(({ type }) => type === 'callout')!;
    expect(await faults([...events, events[0]!])).toEqual([`Entry ${events.length} is a second start.`]);
    expect(await faults(events.with(1, { ...callout, at: -1 }))).toEqual([
      'Entry 1 has a time before the start (-1 ms).',
    ]);
    expect(await faults(events.with(1, { ...callout, at: 9, end: 8 } as CheckEvent))).toEqual([
      'Entry 1 ends before it begins.',
    ]);
  });

  it('names the entry at which it cannot be replayed', async () => {
    const start = copyOf(events[0]!) as unknown as { plan: { steps: unknown[] } };
    start.plan.steps = [{ id: 'x', title: 'x', kind: 'hold' }, ...start.plan.steps];
    expect(await faults(events.with(0, start as unknown as CheckEvent))).toEqual([
      expect.stringMatching(/^Entry \d+ cannot be replayed/),
    ]);
  });

  it.each([
    ['no number', {}],
    ['the number 0', { number: 0 }],
    ['a first number with a seal before it', { number: 1, last: '00' }],
    ['a later number without one', { number: 2 }],
  ])('names a seal with %s', async (_what, chained) => {
    const odd = await forged(events, device, (head, count) =>
      signedNext(head, count, { type: 'seal', count, head, wall: WALL, ...chained }, device),
    );
    expect((await verifyLog(odd)).faults.map(({ kind }) => kind)).toEqual(['misplaced']);
  });
});

describe('the checks of one device', () => {
  async function seals(by: Signer, numbers: readonly number[], operator = 'A. Okafor'): Promise<PlacedSeal[]> {
    const all: PlacedSeal[] = [];
    let last: { number: number; digest: string } | undefined;
    for (let number = 1; number <= Math.max(...numbers); number += 1) {
      const one: LogFile = await forged(wholeCheck({ operator }), by, (head, count) =>
        sealNext(head, count, `${WALL}${number}`, by, last),
      );
      const placed = placedSeal(one, await verifyLog(one), `check ${number}`)!;
      last = placed;
      if (numbers.includes(number)) all.push(placed);
    }
    return all;
  }

  it('show which are missing between others, in whatever order they come', async () => {
    const placed = await seals(device, [2, 3, 7]);
    const [chain] = deviceChains([placed[1]!, placed[2]!, placed[0]!]);
    expect(chain).toEqual(deviceChains(placed)[0]);
    expect(chain).toMatchObject({
      checks: 3,
      highest: 7,
      faults: [],
      missing: [
        [1, 1],
        [4, 6],
      ],
    });
  });

  it('show two of one number, and one that follows another than the one before it', async () => {
    const [ours, forks] = [await seals(device, [1, 2]), await seals(device, [1, 2], 'M. Lindqvist')];
    const two = deviceChains([...ours, forks[1]!]);
    expect(two[0]?.faults).toEqual(['check 2 and check 2 both say that they are number 2 of one device.']);
    const swapped = deviceChains([ours[0]!, forks[1]!]);
    expect(swapped[0]?.faults).toEqual(['check 2 (number 2 of its device) does not follow check 1.']);
    expect(deviceChains([...ours, ...ours])).toMatchObject([{ checks: 2, faults: [], missing: [] }]);
  });

  it('are counted for each device alone, and not at all in the first version', async () => {
    expect(deviceChains([...(await seals(device, [1])), ...(await seals(stranger, [1, 2]))])).toHaveLength(2);
    const old = await firstVersionLog(device);
    expect((await verifyLog(old)).faults).toEqual([]);
    // Nothing bound the files beside it then: what lies there is no fault.
    const beside = new Map([['figures.csv', () => Promise.resolve(good(strToU8('figures')))]]);
    expect((await verifyLog(old, new Map(), beside)).faults).toEqual([]);
    expect(placedSeal(old, await verifyLog(old), 'old')).toBeUndefined();
  });
});
