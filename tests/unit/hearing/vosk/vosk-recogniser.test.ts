import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Recogniser } from '../../../../src/hearing/port.ts';
import { createVoskRecogniser } from '../../../../src/hearing/vosk/vosk-recogniser.ts';
import { openVoskWorker } from '../../../../src/hearing/vosk/host/open-in-node.ts';
import type { OpenVoskWorker, VoskWorker } from '../../../../src/hearing/vosk/engine-messages.ts';
import { packModel } from '../../../support/tiny-model/archive.ts';
import { buildTinyModel, tinyModelFiles } from '../../../support/tiny-model/tiny-model.ts';
import { CUES, mixed, quiet, READINGS, spoken, utterance } from './spoken.ts';

const blob = (bytes: Uint8Array): Blob => new Blob([bytes as Uint8Array<ArrayBuffer>]);
const tiny = buildTinyModel().then(blob);

function engineOn(
  archive: Promise<Blob>,
  openWorker: OpenVoskWorker = openVoskWorker,
  restarts: string[] = [],
): Recogniser {
  return createVoskRecogniser({
    archive: () => archive,
    openWorker,
    onRestart: (reason) => restarts.push(reason),
    patienceMs: 30_000,
  });
}

describe('the vosk engine on the tiny model', { timeout: 600_000 }, () => {
  const engine = engineOn(tiny);
  const progress: number[] = [];
  beforeAll(() => engine.load((fraction) => progress.push(fraction)));
  afterAll(() => engine.close());

  it('reports its loading from the first bytes to the end, never backwards', () => {
    expect(progress.length).toBeGreaterThan(1);
    expect(progress).toEqual([...progress].sort((a, b) => a - b));
    expect(progress.at(-1)).toBe(1);
  });

  it.each(['slt', 'awb'] as const)('hears a whole reading of the voice %s', async (voice) => {
    await engine.setGrammar(READINGS);
    const heard = await engine.recognise(await utterance('primary one two five secondary one two four', voice), 0);
    expect(heard.text).toBe('primary one two five secondary one two four');
    expect(heard.words.map(({ text }) => text).join(' ')).toBe(heard.text);
    expect(heard.rejected).toBe(false);
    expect(heard.confidence).toBeGreaterThan(0.5);
  });

  it('puts words on the sample clock, whose zero is the start of the check', async () => {
    await engine.setGrammar(CUES);
    const sound = await utterance('valve popped');
    const early = await engine.recognise(sound, 0);
    const late = await engine.recognise(sound, 160_000);
    expect(late.words.map(({ start }) => start - 10_000)).toEqual(early.words.map(({ start }) => start));
    expect(late.end - 10_000).toBe(early.end);
  });

  // A hold is timed by the end of one callout and the onset of another: at most 60 ms off, as `tests/bench/README.md` has it.
  it.each(['slt', 'awb', 'kal16'] as const)(
    'finds onset, end and inner edges within 60 ms for the voice %s',
    async (voice) => {
      await engine.setGrammar(READINGS);
      const [first, second] = [await spoken('primary', voice), await spoken('seven', voice)];
      const gap = quiet(0.3);
      const { words } = await engine.recognise(mixed(first, gap, second), 16_000);
      expect(words.map(({ text }) => text)).toEqual(['primary', 'seven']);
      const ms = (samples: number): number => 1500 + samples / 16;
      const truth = [0, first.length, first.length + gap.length, first.length + gap.length + second.length].map(ms);
      const found = words.flatMap(({ start, end }) => [start, end]);
      found.forEach((edge, index) => expect(Math.abs(edge - truth[index]!), `edge ${index}`).toBeLessThanOrEqual(60));
    },
  );

  it('rejects speech that is not in the phrases, and says where it was', async () => {
    await engine.setGrammar(READINGS);
    const sound = await utterance('the weather looks good this morning');
    const heard = await engine.recognise(sound, 0);
    expect(heard).toMatchObject({ rejected: true, text: '', words: [], confidence: 0 });
    expect(heard.start).toBeGreaterThan(400);
    expect(heard.end).toBeLessThan(sound.length / 16 - 400);
  });

  it('hears by the grammar that was set when the utterance was handed over', async () => {
    await engine.setGrammar(CUES);
    const buzzer = engine.recognise(await utterance('buzzer'), 0);
    await engine.setGrammar(READINGS);
    const reading = engine.recognise(await utterance('secondary nine eight'), 0);
    const outside = engine.recognise(await utterance('start the hold'), 0);
    expect((await buzzer).text).toBe('buzzer');
    expect((await reading).text).toBe('secondary nine eight');
    expect((await outside).text).not.toContain('hold');
  });

  it('hears the same sound alike whatever came before', async () => {
    await engine.setGrammar(READINGS);
    const sound = await utterance('primary nine five', 'awb');
    const alone = await engine.recognise(sound, 0);
    await engine.recognise(await utterance('secondary one one eight', 'rms'), 0);
    expect(await engine.recognise(sound, 0)).toEqual(alone);
  });

  it('hears nothing in silence, in an empty utterance and in one shorter than a frame', async () => {
    for (const samples of [quiet(1), new Float32Array(0), new Float32Array(100)]) {
      const heard = await engine.recognise(samples, 0);
      expect(heard).toMatchObject({ text: '', rejected: false, confidence: 0 });
    }
  });
});

describe('a vosk worker that dies', { timeout: 600_000 }, () => {
  const opened: VoskWorker[] = [];
  /** As in a browser, where nobody is told when a worker is killed. */
  const silently: OpenVoskWorker = (hooks) => {
    const worker = openVoskWorker({ message: (message) => hooks.message(message), death: () => undefined });
    opened.push(worker);
    return worker;
  };
  const audibly: OpenVoskWorker = (hooks) => {
    const worker = openVoskWorker(hooks);
    opened.push(worker);
    return worker;
  };
  // Only the test lets time pass: how long the worker takes to load and to hear says nothing of whether it lives.
  beforeEach(() => void vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval'] }));
  afterEach(() => {
    vi.useRealTimers();
    for (const worker of opened.splice(0)) worker.terminate();
  });

  it.each([
    ['is replaced at once where its end is reported', audibly, 0],
    ['is replaced when it stops answering', silently, 60_000],
  ])('%s, and the utterance is heard again under the same grammar', async (_, open, passes) => {
    const restarts: string[] = [];
    const engine = engineOn(tiny, open, restarts);
    await engine.load(() => undefined);
    await engine.setGrammar(CUES);
    const lost = engine.recognise(await utterance('valve popped'), 0);
    await Promise.resolve();
    opened[0]!.terminate();
    await vi.advanceTimersByTimeAsync(passes);
    expect((await lost).text).toBe('valve popped');
    expect(restarts).toHaveLength(1);
    expect((await engine.recognise(await utterance('buzzer'), 0)).text).toBe('buzzer');
    await engine.close();
  });

  it('refuses plainly after close, and answers what was under way', async () => {
    const engine = engineOn(tiny, audibly);
    await engine.load(() => undefined);
    const underWay = engine.recognise(await utterance('buzzer'), 0);
    await engine.close();
    await expect(underWay).rejects.toThrow(/closed/);
    await expect(engine.recognise(quiet(0.5), 0)).rejects.toThrow('The vosk engine is closed.');
  });
});

describe('models the engine is given', { timeout: 600_000 }, () => {
  const withFiles = (change: Record<string, string | undefined>): Promise<Blob> => {
    const files = Object.entries({ ...tinyModelFiles(), ...change });
    return packModel(
      Object.fromEntries(files.filter((entry): entry is [string, string] => entry[1] !== undefined)),
    ).then(blob);
  };
  const network = String(tinyModelFiles()['am/final.mdl']);

  it('takes a model whose word list is inside its graph', async () => {
    const engine = engineOn(packModel(tinyModelFiles('graph')).then(blob));
    await engine.load(() => undefined);
    await engine.setGrammar(CUES);
    expect((await engine.recognise(await utterance('buzzer'), 0)).text).toBe('buzzer');
    await engine.close();
  });

  it.each([
    ['without a network', withFiles({ 'am/final.mdl': undefined })],
    ['without graphs', withFiles({ 'graph/HCLr.fst': undefined, 'graph/Gr.fst': undefined })],
    ['with a network cut short', withFiles({ 'am/final.mdl': network.slice(0, 9000) })],
    ['with an unknown option', withFiles({ 'conf/model.conf': '--no-such-option=1\n' })],
    ['cut short', tiny.then((archive) => archive.slice(0, 30_000))],
    ['that is no archive', Promise.resolve(new Blob(['<html>']))],
  ])('refuses a model %s with one plain line', async (_, archive) => {
    const engine = engineOn(archive);
    const error = await engine.load(() => undefined).catch((reason: unknown) => reason);
    expect(error).toBeInstanceOf(Error);
    expect((error as Error).message).toBe('The vosk engine cannot use this model. Check the model, or add it again.');
    await engine.close();
  });
});
