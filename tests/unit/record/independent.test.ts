import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { unzipSync, zipSync } from 'fflate';
import { clipsOf, exportCheck } from '../../../src/record/export.ts';
import { writeKeys } from '../../../src/record/known-keys.ts';
import type { LogFile } from '../../../src/record/log.ts';
import { copyOf, examinedLog, firstVersionLog, logOfCheck, newSigner, officersLog, packedBy } from './logs.ts';
import { startOf } from '../check/support/say.ts';
import { photographed } from './photographed.ts';

const VERIFIER = fileURLToPath(new URL('../../support/verify-log.py', import.meta.url));
const runs = (command: string, ...args: string[]): boolean => spawnSync(command, args).status === 0;
const missing = [
  ...(runs('python3', '--version') ? [] : ['python3']),
  ...(runs('openssl', 'version') ? [] : ['openssl']),
];
/** Said in the list of tests and beside it: a verifier that does not run must not look like one that found nothing. */
const NOT_RUN = `NOT RUN: the verifier in Python, for want of ${missing.join(' and ')}. Logs were verified by the one in Node alone (independent-node.test.ts), zips and chains of checks by none.`;
if (missing.length > 0) {
  console.error(`\n*** ${NOT_RUN} ***\n`);
  it(NOT_RUN, ({ skip }) => skip(NOT_RUN));
}

describe.skipIf(missing.length > 0)('a verifier in another language, by FORMAT.md alone', { timeout: 600_000 }, () => {
  const folder = mkdtempSync(join(tmpdir(), 'verify-log-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  let log: LogFile;
  beforeAll(async () => {
    log = await officersLog(await newSigner());
  });

  /** What the verifier says of logs, by name. */
  function said(logs: Readonly<Record<string, unknown>>): Record<string, string> {
    const paths = Object.entries(logs).map(([name, json]) => {
      const path = join(folder, `${name}.json`);
      writeFileSync(path, JSON.stringify(json));
      return path;
    });
    const { stdout } = spawnSync('python3', [VERIFIER, ...paths], { encoding: 'utf8' });
    return Object.fromEntries(
      Object.keys(logs).map((name, at) => [name, stdout.split('\n')[at]?.replace(/^.*\.json: /, '') ?? '']),
    );
  }

  it('verifies a whole log: chain, seal, remark, countersignature; also of an examination', async () => {
    expect(said({ whole: log, examined: await examinedLog(await newSigner()) })).toEqual({
      whole: 'verified',
      examined: 'verified',
    });
  });

  it('verifies a log of version 1, whose seal has no number', async () => {
    expect(said({ old: await firstVersionLog(await newSigner()) })).toEqual({ old: 'verified' });
  });

  it('finds a swapped report, a changed photo, an unknown key, and two checks of one number, in zips', async () => {
    const [device, stranger] = [await newSigner(), await newSigner()];
    const one = await officersLog(device, 'one');
    const zipOf = async (of: LogFile, by = device): Promise<Record<string, Uint8Array>> =>
      unzipSync(new Uint8Array(await (await exportCheck(of, packedBy(by))).arrayBuffer()));
    const { store, signer } = await photographed();
    const shown = (await store.log('c1'))!;
    const photos = unzipSync(
      new Uint8Array(await (await exportCheck(shown, packedBy(signer), await clipsOf(store, shown))).arrayBuffer()),
    );
    const picture = photos['photos/0002.jpg']!;
    const [whole, other] = [await zipOf(one), await zipOf(await officersLog(device, 'two'))];
    const zips = {
      whole,
      swapped: { ...whole, 'report.html': other['report.html']! },
      stripped: Object.fromEntries(Object.entries(whole).filter(([name]) => name !== 'manifest.json')),
      repacked: await zipOf(one, stranger),
      forged: await zipOf(await officersLog(stranger, 'one'), stranger),
      same: other,
      shown: photos,
      blurred: { ...photos, 'photos/0002.jpg': picture.with(3, picture[3]! ^ 1) },
    };
    const keys = join(folder, 'keys.json');
    writeFileSync(keys, writeKeys([{ name: 'Engine 31 tablet', key: device.publicKey }]));
    const paths = Object.entries(zips).map(([name, files]) => {
      const path = join(folder, `${name}.zip`);
      writeFileSync(path, zipSync(files));
      return path;
    });
    const { stdout, status } = spawnSync('python3', [VERIFIER, '--keys', keys, ...paths], { encoding: 'utf8' });
    expect(
      stdout
        .trim()
        .split('\n')
        .map((line) => line.replaceAll(`${folder}/`, '')),
    ).toEqual([
      'whole.zip, log.json: verified',
      'swapped.zip, log.json: report.html is not what was sealed',
      'stripped.zip, log.json: figures.csv is bound by nothing',
      'repacked.zip, log.json: the manifest is signed with a key that is not known',
      'forged.zip, log.json: sealed with an unknown key',
      'same.zip, log.json: verified',
      'shown.zip, log.json: sealed with an unknown key',
      'blurred.zip, log.json: photos/0002.jpg is not the photo that was taken',
      expect.stringMatching(/^(whole|same)\.zip, log\.json and (whole|same)\.zip, log\.json are both number 1$/),
    ]);
    expect(status).toBe(1);
  });

  it('agrees on numbers and names of every shape', async () => {
    const callout = {
      type: 'callout',
      at: 0.1 + 0.2,
      end: 1e21,
      heard: '€ “\u007f\u0000\n\\"😀\ufb33',
      confidence: 1e-7,
      source: 'voice',
    } as const;
    const odd = {
      ...callout,
      more: { '\ufb33': -0.000001, '😀': 123456789012345680000, a: -0, b: 5e-324, c: 4.5, d: 1.7976931348623157e308 },
    };
    expect(said({ odd: await logOfCheck([startOf(), odd], await newSigner()) })).toEqual({ odd: 'verified' });
  });

  it('finds what was changed', () => {
    const heard = copyOf(log) as unknown as { entries: { event: { heard: string }; signature: string }[] };
    heard.entries[5]!.event.heard = 'other';
    const seal = log.entries.length - 3;
    const signature = copyOf(log) as unknown as typeof heard;
    signature.entries[seal]!.signature = signature.entries[seal + 1]!.signature;
    expect(said({ heard, signature, dropped: { ...log, entries: log.entries.toSpliced(3, 1) } })).toEqual({
      heard: 'entry 5 breaks the chain',
      signature: `the signature of entry ${seal} is wrong`,
      dropped: 'entry 3 breaks the chain',
    });
    expect(() => execFileSync('python3', [VERIFIER, join(folder, 'heard.json')], { stdio: 'pipe' })).toThrow();
  });
});
