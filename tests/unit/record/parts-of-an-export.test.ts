import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { beforeAll, describe, expect, it } from 'vitest';
import { canonicalBytes } from '../../../src/record/canonical.ts';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import { contentsOf } from '../../../src/record/contents.ts';
import { duplicateMember } from '../../../src/record/duplicate-members.ts';
import { clipName } from '../../../src/record/export-names.ts';
import { checkFiles, exportChecks } from '../../../src/record/export.ts';
import { importChecks } from '../../../src/record/import.ts';
import { keepingStore } from '../../../src/record/keeping-store.ts';
import type { LogFile } from '../../../src/record/log.ts';
import { MANIFEST_NAME, readSignedManifest, signManifest } from '../../../src/record/manifest.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { EntryStore } from '../../../src/record/record-store.ts';
import { isSignedBy, type Signer } from '../../../src/record/signer.ts';
import { writeTranscript } from '../../../src/record/transcript.ts';
import { verifyLog } from '../../../src/record/verify.ts';
import { zipWriter } from '../../../src/record/zip-writer.ts';
import { startOf } from '../check/support/say.ts';
import { APP, logOfCheck, newSigner, officersLog, packedBy, WALL, wholeCheck } from './logs.ts';

let signer: Signer;
let log: LogFile;
beforeAll(async () => {
  signer = await newSigner();
  log = await officersLog(signer);
});

const newStore = (inner: EntryStore = memoryStore()): ChainedStore => chainedStore(inner, signer, () => WALL, APP);
const SOUNDS = ['sound 1', 'sound 2'] as const;
const DIGESTS = await Promise.all(
  SOUNDS.map(async (sound) =>
    [...new Uint8Array(await crypto.subtle.digest('SHA-256', strToU8(sound)))]
      .map((byte) => byte.toString(16).padStart(2, '0'))
      .join(''),
  ),
);

describe('a zip that is written', () => {
  it('gives each file a name of its own, in any case, with the number before the last dot', async () => {
    const zip = zipWriter();
    for (const [name, text] of ['a.b.txt', 'A.B.TXT', 'a.b.txt', 'x.wav'].map(
      (name, at) => [name, String(at)] as const,
    ))
      zip.add(name, strToU8(text));
    const blob = zip.end();
    const files = unzipSync(new Uint8Array(await blob.arrayBuffer()));
    expect(Object.entries(files).map(([name, bytes]) => [name, strFromU8(bytes)])).toEqual([
      ['a.b.txt', '0'],
      ['A.B (2).TXT', '1'],
      ['a.b (3).txt', '2'],
      ['x.wav', '3'],
    ]);
    expect(blob.type).toBe('application/zip');
  });
});

describe('a transcript', () => {
  it('has times to the millisecond, of any length, and a line for each callout', () => {
    const cue = (at: number, end: number, text: string) => ({ at, end, text });
    expect(writeTranscript([cue(61_001.4, 3_599_999.5, ' a <b>\n& c '), cue(-5, 359_999_999, 'd')])).toBe(
      'WEBVTT\n\n00:01:01.001 --> 01:00:00.000\n<v operator>a &lt;b&gt; &amp; c\n\n00:00:00.000 --> 99:59:59.999\n<v operator>d\n',
    );
  });
});

describe('a JSON text that says a thing twice', () => {
  it.each([
    ['{"a":1,"a":2}', 'a'],
    ['{"x":[{"b":1},{"b":2}],"x":1}', 'x'],
    ['[{"a":{"b":1,"c":2,"b":3}}]', 'b'],
    ['{"a":["a","a",{"a":1}],"\\u0061":2}', 'a'],
    ['{"a\\"":1,"a\\"":2}', 'a"'],
  ])('%s', (text, name) => {
    expect(duplicateMember(text)).toBe(name);
  });

  it.each(['{"a":["a","a"],"b":"a"}', '[{"a":1},{"a":2}]', '{"a":"\\"a\\":1","b":{"a":1}}', '7'])(
    'is not one that says it in several places: %s',
    (text) => {
      expect(duplicateMember(text)).toBeUndefined();
    },
  );
});

describe('a signature', () => {
  it('that is none, or by a key that is none, is simply not right', async () => {
    const bytes = canonicalBytes({ a: 1 });
    const signature = await signer.sign(bytes);
    expect(await isSignedBy(signer.publicKey, bytes, signature)).toBe(true);
    expect(await isSignedBy(signer.publicKey, canonicalBytes({ a: 2 }), signature)).toBe(false);
    for (const odd of ['', 'xyz', `${signature}00`, signature.slice(2)])
      expect(await isSignedBy(signer.publicKey, bytes, odd)).toBe(false);
    expect(await isSignedBy({ ...signer.publicKey, x: 'not a point' }, bytes, signature)).toBe(false);
  });
});

describe('a manifest', () => {
  it('of another check, of more entries or of another end is not of this log', async () => {
    const files = await checkFiles(log, packedBy(signer));
    expect(await readSignedManifest(strFromU8(files.get(MANIFEST_NAME)!), log)).toHaveProperty('files');
    for (const other of [
      { ...log, header: { ...log.header, check: 'c2' } },
      { ...log, end: { ...log.end, count: log.end.count - 1 } },
      { ...log, end: { ...log.end, head: log.entries[0]!.digest } },
    ]) {
      const manifest = await signManifest(other, new Map(), WALL, signer);
      expect(await readSignedManifest(JSON.stringify(manifest), log)).toMatch(/belongs to another log/);
    }
  });
});

describe('an export of many checks', () => {
  it('tells how far it is after each', async () => {
    const store = newStore();
    await importChecks([{ name: 'a.json', file: new Blob([JSON.stringify(log)]) }], store);
    const steps: number[] = [];
    await exportChecks(store, ['c1', 'none'], { onProgress: (done) => void steps.push(done) });
    expect(steps).toEqual([0.5, 1]);
  });
});

describe('an import', () => {
  async function heard(): Promise<LogFile> {
    const callouts = SOUNDS.map((_, at) => ({
      ...({ type: 'callout', at: at + 1, end: at + 2, heard: 'x', confidence: 1, source: 'voice' } as const),
      clip: 's1',
      clipDigest: DIGESTS[at]!,
    }));
    return logOfCheck([startOf(), ...callouts], signer);
  }

  it('keeps the sounds of a check by the day of the check, and one of an id once', async () => {
    const zip = zipSync({
      'log.json': strToU8(JSON.stringify(await heard())),
      ...Object.fromEntries(SOUNDS.map((sound, at) => [clipName(at + 1), strToU8(sound)])),
    });
    const store = memoryStore();
    await importChecks([{ name: 'a.zip', file: new Blob([zip]) }], newStore(store));
    expect(await store.clip('s1')).toMatchObject({ check: 'c1', kept: Date.parse('2026-05-04T07:30:00Z') });
    expect(await (await store.clip('s1'))?.wav.text()).toBe('sound 1');
    const clips = new Map(SOUNDS.map((sound, at) => [at + 1, contentsOf(strToU8(sound))]));
    expect((await verifyLog(await heard(), clips)).clips).toEqual({ sound: 2, photos: 0, gone: 0 });
  });

  it('keeps figures with their strictest limits in the list of checks', async () => {
    const store = newStore();
    await importChecks([{ name: 'a.json', file: new Blob([JSON.stringify(log)]) }], store);
    const [head] = await store.heads();
    const cutIn = head?.steps?.find(({ id }) => id === 'governor-cut-in');
    expect(cutIn).toMatchObject({ verdict: 'pass' });
    expect(cutIn?.figures).toContainEqual(expect.objectContaining({ name: 'cutIn', value: 97, unit: 'psi' }));
  });

  it('that fails for another reason than a stop is told by its own error', async () => {
    const broken: EntryStore = { ...memoryStore(), addLog: () => Promise.reject(new Error('the disk is gone')) };
    const file = { name: 'a.json', file: new Blob([JSON.stringify(log)]) };
    await expect(importChecks([file], newStore(broken))).rejects.toThrow('the disk is gone');
  });
});

describe('a check that is taken out while it waits for the disk', () => {
  it('does not come back with it, and the others do', async () => {
    const disk = memoryStore();
    let broken = true;
    const failing: EntryStore = {
      ...disk,
      begin: (head) => (broken ? Promise.reject(new DOMException('gone', 'UnknownError')) : disk.begin(head)),
      append: (...row) => (broken ? Promise.reject(new DOMException('gone', 'UnknownError')) : disk.append(...row)),
    };
    const store = keepingStore(failing, () => undefined);
    const head = {
      startedAt: WALL,
      rigId: 'e',
      rigName: 'E',
      operator: 'o',
      planTitle: 'p',
      state: 'running',
    } as const;
    const [start, ...rest] = wholeCheck();
    for (const id of ['a', 'b']) {
      await store.begin({ ...head, id });
      await store.append(id, 0, start!);
    }
    await store.remove('a');
    broken = false;
    await store.append('b', 1, rest[0]!);
    expect((await disk.heads()).map(({ id }) => id)).toEqual(['b']);
    expect(await disk.events('b')).toHaveLength(2);
  });
});
