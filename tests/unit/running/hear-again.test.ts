import { beforeAll, describe, expect, it } from 'vitest';
import type { Hearing, HearingEvents } from '../../../src/hearing/hearing.ts';
import { writeWav } from '../../../src/hearing/wav.ts';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import type { LogFile } from '../../../src/record/log.ts';
import { judgeLog } from '../../../src/record/judged.ts';
import { memoryStore } from '../../../src/record/memory-store.ts';
import { languageOf, type Language } from '../../../src/running/language.ts';
import { hearLogAgain, hearRecordingAgain } from '../../../src/running/hear-again.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { startOf } from '../check/support/say.ts';
import { APP, newSigner, WALL } from '../record/logs.ts';

/** An ear that hears what it is told to, whatever the sound: the first sample, in hundredths, is the number of the words. */
function scripted(script: readonly string[], more: { rules?: string[][]; absent?: true; diesAt?: number } = {}) {
  return (events: HearingEvents): Hearing => {
    let stopped = false;
    let rules: readonly string[] = [];
    let samples = 0;
    const hear = async (nth: number): Promise<void> => {
      const text = script[nth];
      more.rules?.push([...rules]);
      if (text === undefined || text === '') return;
      const at = (samples * 1000) / 16_000;
      await events.heard({
        engine: 'embedded',
        words: [],
        text,
        start: at,
        end: at + 500,
        confidence: 0.8,
        rejected: false,
        clip: new Float32Array(),
      });
    };
    if (more.absent === true) events.problem({ what: 'The model is not here.', repair: 'Go on by hand.' });
    return {
      ready: Promise.resolve(more.absent !== true),
      listenFor: (ruleset) => (rules = ruleset.rules),
      async feed(sound) {
        if (stopped) return;
        const marked = sound.find((sample) => sample !== 0);
        const nth = marked === undefined ? undefined : Math.round(marked * 100) - 1;
        if (nth !== undefined && nth === more.diesAt) {
          stopped = true;
          events.problem({ what: 'Hearing keeps stopping.' });
          events.stopped?.();
        } else if (nth !== undefined) await hear(nth);
        samples += sound.length;
        await events.clock((samples * 1000) / 16_000, { level: -30, floor: -60, snr: 30, clipped: false });
      },
      flush: () => Promise.resolve(),
      close: () => Promise.resolve(),
    };
  };
}

const marked = (nth: number, length = 1600): Float32Array => {
  const sound = new Float32Array(length);
  sound[0] = (nth + 1) / 100;
  return sound;
};

const SAID = [
  'chocks set',
  'walk round complete',
  'mirrors set',
  'ignition on',
  'primary seven five secondary seven six',
];
let language: Language;
let store: ChainedStore;
let log: LogFile;

beforeAll(async () => {
  language = languageOf(loadGrammar());
  const signer = await newSigner();
  store = chainedStore(memoryStore(), signer, () => WALL, APP);
  const head = { id: 'c1', startedAt: WALL, rigId: 'e', rigName: 'E', operator: 'o', planTitle: 'p' };
  await store.begin({ ...head, state: 'running' });
  await store.append('c1', 0, startOf());
  for (const [nth, heard] of SAID.entries()) {
    const meaning = language.parse(['anything'], heard, 'psi')!;
    // The last one has no sound: it was given up.
    const clip = nth < 4 ? { clip: `s${nth}` } : {};
    if (nth < 4)
      void store.keepClip({ id: `s${nth}`, check: 'c1', kept: nth, wav: new Blob([writeWav(marked(nth), 16_000)]) });
    const at = nth * 2000;
    const said = { type: 'callout', at, end: at + 500, heard, confidence: 0.9, source: 'voice', meaning } as const;
    await store.append('c1', nth + 1, { ...said, ...clip });
  }
  await store.close({ ...head, state: 'given-up', verdict: 'incomplete' });
  log = (await store.log('c1'))!;
});

describe('a second hearing of the sounds of a log', () => {
  it('tells the same, what differs and what is not heard, and listens for what was listened for then', async () => {
    const rules: string[][] = [];
    const before = structuredClone(log);
    const ear = scripted(['chocks set', 'mirrors set', '', 'ignition on'], { rules });
    const heard = await hearLogAgain(log, undefined, store, language, ear, {});
    expect(heard.ok && heard.value.map(({ likeness, then, now }) => [likeness, then?.heard, now?.heard])).toEqual([
      ['same', 'chocks set', 'chocks set'],
      ['differs', 'walk round complete', 'mirrors set'],
      ['unheard', 'mirrors set', ''],
      ['same', 'ignition on', 'ignition on'],
    ]);
    expect(rules[0]).toContain('chocks-set');
    expect(rules[0]).not.toContain('buzzer');
    expect(await store.log('c1')).toEqual(before);
  });

  it('hears one sound when one is asked for', async () => {
    const heard = await hearLogAgain(log, 2, store, language, scripted(SAID), {});
    expect(heard.ok && heard.value.map(({ then }) => then?.heard)).toEqual(['walk round complete']);
  });

  it('says in one line that an ear or its model is absent, or that it stopped', async () => {
    const absent = await hearLogAgain(log, undefined, store, language, scripted(SAID, { absent: true }), {});
    expect(absent).toEqual({ ok: false, problem: { what: 'The model is not here.' } });
    const died = await hearLogAgain(log, undefined, store, language, scripted(SAID, { diesAt: 1 }), {});
    expect(died).toEqual({ ok: false, problem: { what: 'Hearing keeps stopping.' } });
  });

  it('tells how far it is, and stops when it is told to', async () => {
    const stop = new AbortController();
    const steps: number[] = [];
    const work = {
      signal: stop.signal,
      onProgress: (done: number) => {
        steps.push(done);
        if (steps.length === 2) stop.abort();
      },
    };
    await expect(hearLogAgain(log, undefined, store, language, scripted(SAID), work)).rejects.toThrow();
    expect(steps).toHaveLength(2);
    expect(steps[0]).toBeLessThan(steps[1]!);
    expect(steps[1]).toBeLessThan(1);
  });
});

describe('a second hearing of an outside recording', () => {
  it('lays its callouts beside those of the log and does the check again, without a word in the log', async () => {
    const before = structuredClone(log);
    const judged = judgeLog(log, 'c1');
    if (!judged.ok) throw new Error(judged.problem.what);
    // It begins later than the check did, and one number is another.
    const script = ['walk round complete', 'mirrors set', 'ignition on', 'primary seven five secondary six six'];
    const samples = new Float32Array(script.length * 8000);
    for (const nth of script.keys()) samples.set(marked(nth, 1), nth * 8000 + 10);
    const heard = await hearRecordingAgain(
      log,
      judged.value.state,
      { samples, rate: 16_000 },
      language,
      scripted(script),
      {},
    );
    expect(heard.ok && heard.value.lines.map(({ likeness, then, now }) => [likeness, then?.heard, now?.heard])).toEqual(
      [
        ['unheard', 'chocks set', undefined],
        ['same', 'walk round complete', 'walk round complete'],
        ['same', 'mirrors set', 'mirrors set'],
        ['same', 'ignition on', 'ignition on'],
        ['differs', SAID[4], 'primary seven five secondary six six'],
      ],
    );
    expect(heard.ok && heard.value.state.verdict).toBe('incomplete');
    expect(await store.log('c1')).toEqual(before);
  });
});
