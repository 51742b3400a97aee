import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { beforeAll, describe, expect, it } from 'vitest';
import { readTranscript } from '../../../src/cli/shared/webvtt.ts';
import { replay } from '../../../src/check/machine.ts';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import { clipName } from '../../../src/record/export-names.ts';
import { checkFiles, exportCheck, exportChecks, exportFigures, fileName } from '../../../src/record/export.ts';
import { importChecks } from '../../../src/record/import.ts';
import { checkEvents, type LogFile } from '../../../src/record/log.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import type { Signer } from '../../../src/record/signer.ts';
import { needles, startOf, Walk } from '../check/support/say.ts';
import {
  APP,
  copyOf,
  logOfCheck,
  newSigner,
  officerKey,
  officersLog,
  ownSignedLog,
  packedBy,
  signed,
  WALL,
  wholeCheck,
} from './logs.ts';

let signer: Signer;
let log: LogFile;
beforeAll(async () => {
  signer = await newSigner();
  log = await officersLog(signer);
});

const newStore = (): ChainedStore => chainedStore(memoryStore(), signer, () => WALL, APP);
const asFile = (name: string, content: BlobPart) => ({ name, file: new Blob([content]) });
const json = (of: LogFile, name = 'log.json') => asFile(name, JSON.stringify(of));
const text = (bytes: Uint8Array | undefined): string => strFromU8(bytes ?? new Uint8Array());

describe('exporting a check and importing it elsewhere', () => {
  it('gives the same events, the same seal and the same verdicts', async () => {
    const store = newStore();
    const report = await importChecks([{ name: 'a.zip', file: await exportCheck(log, packedBy(signer)) }], store);
    expect(report.logs.map(({ outcome, verification }) => [outcome, verification?.faults])).toEqual([['added', []]]);
    expect(await store.log('c1')).toEqual(copyOf(log));
    const [here, there] = [replay(checkEvents(log)), replay(await store.events('c1'))];
    expect(there.records.map(({ id, result }) => [id, result])).toEqual(
      here.records.map(({ id, result }) => [id, copyOf(result)]),
    );
    expect((await store.heads())[0]).toMatchObject({
      rigName: 'Engine 31',
      verdict: 'pass',
      state: 'finished',
      imported: true,
      countersigned: ['Capt. R. Whitehorse'],
    });
  });

  it('takes the clips along, and keeps none that is not the sound that was heard', async () => {
    const from = newStore();
    await from.begin({
      id: 'c1',
      startedAt: WALL,
      rigId: 'e',
      rigName: 'E',
      operator: 'o',
      planTitle: 'p',
      state: 'running',
    });
    await from.append('c1', 0, startOf());
    for (const at of [1, 2]) {
      void from.keepClip({ id: `s${at}`, check: 'c1', kept: at, wav: new Blob([`sound ${at}`]) });
      await from.append('c1', at, {
        type: 'callout',
        at,
        end: at,
        heard: 'x',
        confidence: 1,
        source: 'voice',
        clip: `s${at}`,
      });
    }
    const { files } = await exportChecks(from, ['c1']);
    const outer = unzipSync(new Uint8Array(await files[0]!.arrayBuffer()));
    const inner = unzipSync(Object.values(outer)[0]!);
    inner[clipName(2)] = strToU8('another sound');
    const to = newStore();
    const { logs } = await importChecks([asFile('spoilt.zip', zipSync(inner))], to);
    expect(logs[0]!.verification?.faults.filter(({ kind }) => kind === 'clip').map(({ entry }) => entry)).toEqual([2]);
    expect(await (await to.clip('s1'))?.wav.text()).toBe('sound 1');
    expect(await to.clip('s2')).toBeUndefined();
  });

  it('keeps a log once, however often it comes', async () => {
    const store = newStore();
    const { logs } = await importChecks(
      [json(log), { name: 'b.zip', file: await exportCheck(log, packedBy(signer)) }],
      store,
    );
    expect(logs.map(({ outcome }) => outcome)).toEqual(['added', 'known']);
    expect(await store.heads()).toHaveLength(1);
  });

  it('adds what an officer appended elsewhere', async () => {
    const store = newStore();
    const bare = await logOfCheck(wholeCheck(), signer);
    const seen = await signed(
      bare,
      { type: 'countersigned', officer: 'Capt. R. Whitehorse', wall: WALL, key: signer.publicKey },
      signer,
    );
    const { logs } = await importChecks([json(bare), json(seen), json(bare)], store);
    expect(logs.map(({ outcome }) => outcome)).toEqual(['added', 'extended', 'known']);
    expect((await store.log('c1'))!.entries).toHaveLength(seen.entries.length);
    expect((await store.heads())[0]).toMatchObject({ countersigned: ['Capt. R. Whitehorse'], nameOnly: true });
  });

  it('keeps with which key an officer signed, whole or appended, and tells it from a name alone', async () => {
    const byKey = await ownSignedLog(signer, await officerKey());
    const entries = byKey.entries.slice(0, -1);
    const bare = { ...byKey, entries, end: { count: entries.length, head: entries.at(-1)!.digest } };
    for (const files of [[json(byKey)], [json(bare), json(byKey)]]) {
      const store = newStore();
      const { logs } = await importChecks(files, store);
      expect(logs.at(-1)!.verification?.faults).toEqual([]);
      expect(logs.at(-1)!.verification?.countersigned[0]?.own?.name).toMatch(/^[0-9a-f ]{19}$/);
      expect((await store.heads())[0]).toMatchObject({ countersigned: ['Capt. R. Whitehorse'], nameOnly: false });
      expect(await store.log('c1')).toEqual(copyOf(byKey));
    }
  });

  it('counts no signature whose name or day was changed, by whichever key', async () => {
    const byKey = await ownSignedLog(signer, await officerKey());
    for (const change of [{ officer: 'Capt. N. Nobody' }, { wall: '2026-05-05T07:52:00.000Z' }]) {
      const store = newStore();
      const edited = copyOf(byKey);
      Object.assign(edited.entries.at(-1)!.event, change);
      await importChecks([json(edited)], store);
      const [head] = await store.heads();
      expect(head?.trouble).toMatch(/was edited/);
      expect(head?.countersigned).toBeUndefined();
    }
  });

  it('leaves what is here as it is when another log has its id', async () => {
    const store = newStore();
    const other = await logOfCheck(wholeCheck({ operator: 'M. Lindqvist' }), signer);
    const edited = copyOf(log) as unknown as { entries: { event: { heard: string } }[] };
    edited.entries[7]!.event.heard = 'something else';
    const { logs } = await importChecks([json(log), json(other), json(edited as unknown as LogFile)], store);
    expect(logs.map(({ outcome }) => outcome)).toEqual(['added', 'conflict', 'conflict']);
    expect(logs[1]!.line).toMatch(/from entry 0 on/);
    expect(logs[2]!.line).toMatch(/from entry 7 on/);
    expect(await store.log('c1')).toEqual(copyOf(log));
  });

  it('keeps a log that does not verify, with the entry that broke', async () => {
    const store = newStore();
    const edited = copyOf(log) as unknown as { entries: { event: { heard: string } }[] };
    edited.entries[7]!.event.heard = 'something else';
    const { logs } = await importChecks([json(edited as unknown as LogFile)], store);
    expect(logs[0]).toMatchObject({ outcome: 'added' });
    expect((await store.heads())[0]?.trouble).toMatch(/Entry 7 was edited/);
    expect((await store.events('c1'))[7]).toMatchObject({ heard: 'something else' });
  });

  it('does not offer another device’s cut-off check to be taken up here', async () => {
    const store = newStore();
    await importChecks([json(await logOfCheck(wholeCheck().slice(0, 6), signer))], store);
    expect((await store.heads())[0]).toMatchObject({ state: 'given-up', verdict: 'incomplete' });
  });

  it('tells progress, and stops where it is told to with what it has', async () => {
    const store = newStore();
    const stop = new AbortController();
    const steps: number[] = [];
    const files = await Promise.all(['a', 'b', 'c', 'd'].map(async (id) => json(await officersLog(signer, id))));
    const report = await importChecks(files, store, {
      signal: stop.signal,
      onProgress: (done) => {
        steps.push(done);
        if (steps.length === 2) stop.abort();
      },
    });
    expect(steps).toEqual([0.25, 0.5]);
    expect(report.stopped).toBe(true);
    expect((await store.heads()).map(({ id }) => id).sort()).toEqual(['a', 'b']);
  });

  it('exports many checks as one file, and as one table with a line per figure', async () => {
    const store = newStore();
    await importChecks([json(log), json(await officersLog(signer, 'c2'))], store);
    const { files, left } = await exportChecks(store, ['c1', 'c2', 'c3']);
    expect(left).toEqual(['c3: there is no log of this check.']);
    const again = await importChecks([{ name: 'all.zip', file: files[0]! }], newStore());
    expect(again.logs.map(({ outcome, check }) => [outcome, check])).toEqual([
      ['added', 'c1'],
      ['added', 'c2'],
    ]);
    const lines = (await (await exportFigures(store, ['c1', 'c2'])).files[0]!.text()).trim().split('\r\n');
    expect(lines.filter((line) => line.startsWith('check,'))).toHaveLength(1);
    const rates = lines.filter((line) => line.includes(',secondaryRate,'));
    expect(rates).toHaveLength(4);
    expect(rates[0]).toMatch(/^c1,.*Engine 31,A\. Okafor,/);
  });
});

describe('the name of an exported check', () => {
  it('is its rig, date and time, and id, in letters and digits of any script', async () => {
    const named = async (rig: string, check: string): Promise<string> =>
      fileName(await logOfCheck([startOf({ rig: { id: 'x', name: rig, unit: 'psi' } })], signer, check));
    expect(await named('Engine 31', 'c1')).toBe('Engine-31_2026-05-04T07-30_c1');
    expect(await named('../Löschzug: 5 / ', '(c..1)')).toBe('Löschzug-5_2026-05-04T07-30_c-1');
    expect(await named('x'.repeat(50), 'c1')).toBe(`${'x'.repeat(40)}_2026-05-04T07-30_c1`);
  });

  it('is its id alone where the log has no start', async () => {
    expect(fileName(await logOfCheck([], signer, 'c 7'))).toBe('c-7');
  });
});

describe('what is exported of a check', () => {
  it('has a transcript that the terminal door hears as it was said', async () => {
    const files = await checkFiles(log, packedBy(signer));
    const said = checkEvents(log).flatMap((event) => (event.type === 'callout' ? [event.heard] : []));
    const read = readTranscript(text(files.get('transcript.vtt')), 'transcript.vtt');
    expect(read.ok && read.value.cues.map((cue) => cue.text)).toEqual(said);
  });

  const EVIL = '<script>alert(1)</script><img src=x onerror="alert(1)">\'"&';

  it('shows markup in any text of the log as text', async () => {
    const start = startOf({ operator: EVIL, rig: { id: 'x', name: EVIL, unit: 'psi' } });
    const plan = { ...start.plan, title: EVIL, steps: start.plan.steps.map((step) => ({ ...step, title: EVIL })) };
    const walk = new Walk({ ...start, plan, profile: { ...start.profile, title: EVIL } });
    walk.say('chocks-set', { heard: EVIL }).say(needles(75, 74), { heard: EVIL });
    const sealed = await logOfCheck(walk.events, signer, EVIL);
    const remarked = await signed(
      sealed,
      { type: 'remark', officer: EVIL, text: EVIL, wall: EVIL, key: signer.publicKey },
      signer,
    );
    const files = await checkFiles(remarked, packedBy(signer));
    const report = text(files.get('report.html'));
    expect(report).not.toMatch(/<script|<img|onerror="/);
    expect(report).toContain('&#60;script&#62;');
    expect(text(files.get('transcript.vtt'))).not.toMatch(/<script|<img/);
  });

  it('gives a spreadsheet no formula to run', async () => {
    const sealed = await logOfCheck(wholeCheck({ operator: '=HYPERLINK("http://x")' }), signer);
    const csv = text((await checkFiles(sealed, packedBy(signer))).get('figures.csv'));
    expect(csv).toContain(`"'=HYPERLINK(""http://x"")"`);
    expect(csv).not.toMatch(/(^|,)"?=/m);
  });

  it('says what a failed check means, warns under a log that does not verify, and never calls a rig safe', async () => {
    const walk = new Walk();
    walk.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on', needles(75, 74), 'engine-started');
    walk.sayAll('cut-out', needles(124, 123), 'cut-in', needles(98, 97), 'cut-out', needles(125, 124));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(118, 117)).waitTo(walk.time + 61);
    walk.sayAll(needles(117, 112), 'yes', 'stop-check', 'yes');
    const failed = await logOfCheck(walk.events, signer);
    const broken = { ...failed, entries: failed.entries.toSpliced(4, 1) };
    const report = text((await checkFiles(broken, packedBy(signer))).get('report.html'));
    expect(report).toContain('Entry 4 is missing.');
    expect(text((await checkFiles(failed, packedBy(signer))).get('report.html'))).toMatch(
      /Do not drive on a failed check/,
    );
    expect(report).not.toMatch(/\bsafe\b/i);
    expect(report).toMatch(/wheels chocked/);
  });
});
