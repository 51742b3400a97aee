import { mkdtemp, readFile, rm, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reduceDictionary, writeModel } from '../../../src/cli/assets/assets-model.ts';
import { speechEdges } from '../../../src/cli/operator/operator-sound.ts';
import { compile } from '../../../src/grammar/compile.ts';
import { PRONUNCIATIONS } from '../../../src/grammar/pronunciations.ts';
import type { Ruleset } from '../../../src/grammar/ruleset.ts';
import { createEmbeddedEngine } from '../../../src/hearing/embedded/recogniser.ts';
import { folderModelStore } from '../../../src/hearing/embedded/store-node.ts';
import type { Heard, Recogniser } from '../../../src/hearing/port.ts';
import { SAMPLE_RATE, samplesToMs } from '../../../src/units/time.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { dieselIdle, joined, over, rms, silence } from './signals.ts';
import { speak } from './voice.ts';

const grammar = loadGrammar();
const readings = compile(grammar, ['readings'], 'psi');
const cues = compile(grammar, ['cues'], 'psi');

let folder = '';
let engine: Recogniser;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'two-needles-model-'));
  const words = [...new Set([...readings.words, ...cues.words])];
  const written = await writeModel(folder, { words, pronunciations: PRONUNCIATIONS });
  expect(written.ok).toBe(true);
  engine = createEmbeddedEngine(folderModelStore(folder));
  await engine.load(() => undefined);
}, 600_000);

afterAll(async () => {
  await engine.close();
  await rm(folder, { recursive: true });
});

async function hear(ruleset: Ruleset, sound: Float32Array, startSample = 0): Promise<Heard> {
  await engine.setGrammar(ruleset);
  return engine.recognise(sound, startSample);
}

async function loadFrom(path: string): Promise<string> {
  try {
    await createEmbeddedEngine(folderModelStore(path)).load(() => undefined);
    return 'loaded';
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

describe('the embedded engine', () => {
  it.each([
    ['rms', 'both one twenty'],
    ['slt', 'secondary nine five primary nine three'],
  ] as const)('hears voice %s say “%s”', { timeout: 600_000 }, async (voice, text) => {
    const heard = await hear(readings, await speak(text, voice));
    expect(heard.text).toBe(text);
    expect(heard.rejected).toBe(false);
    expect(heard.confidence).toBeGreaterThan(0.6);
  });

  it.each([
    ['awb', 'buzzer'],
    ['rms', 'governor cut out'],
    ['slt', 'brakes released'],
    ['awb', 'engine off'],
    ['kal16', 'needles rising'],
  ] as const)('hears voice %s say “%s” 10 dB above a diesel at idle', { timeout: 600_000 }, async (voice, text) => {
    const speech = joined(silence(250), await speak(text, voice), silence(200));
    const heard = await hear(cues, over(speech, dieselIdle(speech.length, 7), rms(speech), 10));
    expect(heard.text).toBe(text);
    expect(heard.rejected).toBe(false);
  });

  it('ends a callout where its last nasal has faded, within 60 ms', { timeout: 600_000 }, async () => {
    const text = 'primary one hundred sixteen secondary one hundred fifteen';
    const speech = await speak(text, 'rms');
    const { end } = speechEdges(speech, SAMPLE_RATE);
    const heard = await hear(readings, joined(silence(250), speech, silence(200)));
    expect(heard.text).toBe(text);
    expect(Math.abs(heard.end - 250 - end)).toBeLessThanOrEqual(60);
  });

  it(
    'puts onset and end of the words on the sample clock, within 60 ms of the sound',
    { timeout: 600_000 },
    async () => {
      const text = 'primary one two five secondary one one eight';
      const speech = await speak(text, 'slt');
      const loud = speech.reduce((peak, x) => Math.max(peak, Math.abs(x)), 0) * 10 ** (-38 / 20);
      const first = speech.findIndex((x) => Math.abs(x) > loud);
      const last = speech.findLastIndex((x) => Math.abs(x) > loud);
      const lead = silence(180);
      const startSample = 1_000_000;
      const heard = await hear(readings, joined(lead, speech, silence(150)), startSample);
      expect(heard).toMatchObject({ text, rejected: false });
      expect(heard.confidence).toBeGreaterThan(0.6);
      expect(Math.abs(heard.start - samplesToMs(startSample + lead.length + first))).toBeLessThan(60);
      expect(Math.abs(heard.end - samplesToMs(startSample + lead.length + last))).toBeLessThan(60);
      expect(heard.words.map((word) => word.text).join(' ')).toBe(heard.text);
      for (const [i, word] of heard.words.slice(1).entries())
        expect(word.start).toBeGreaterThanOrEqual(heard.words[i]!.end - 15);
    },
  );

  it.each([
    'dispatch this is medic seven we are on scene at the school',
    'can you grab me a coffee on the way back',
    'I think it is going to rain this afternoon',
  ])('does not force “%s” into a callout', { timeout: 600_000 }, async (text) => {
    const heard = await hear(readings, await speak(text, 'slt'));
    expect(heard).toMatchObject({ rejected: true, text: '', words: [], confidence: 0 });
  });

  it('hears the same sound by another ruleset at once, and equally each time', { timeout: 600_000 }, async () => {
    const cue = await speak('chocks set', 'slt');
    expect((await hear(readings, cue)).text).not.toBe('chocks set');
    const first = await hear(cues, cue);
    expect(first.text).toBe('chocks set');
    expect(await hear(cues, cue)).toEqual(first);
  });

  it('refuses a grammar with a word that it cannot pronounce, and goes on with the one before', async () => {
    const strange = { ...cues, id: 'strange', jsgf: '#JSGF V1.0;\ngrammar s;\npublic <active> = xylophonist;\n' };
    await expect(engine.setGrammar(strange)).rejects.toThrow(/refused the grammar/);
    expect((await hear(cues, await speak('chocks set', 'slt'))).text).toBe('chocks set');
  }, 600_000);
});

describe('the model folder', () => {
  it('is at most 8 MB to download, even without compression', async () => {
    const manifest = JSON.parse(await readFile(join(folder, 'manifest.json'), 'utf8')) as {
      files: { name: string; bytes: number }[];
    };
    expect(manifest.files.reduce((sum, file) => sum + file.bytes, 0)).toBeLessThan(8e6);
    const dictionary = await readFile(join(folder, 'dict.txt'));
    expect(gzipSync(dictionary).length).toBeLessThan(20_000);
    expect(await readFile(join(folder, 'LICENCE.txt'), 'utf8')).toMatch(
      /Redistribution and use in source and binary forms/,
    );
  });

  it('is refused with file and repair when a file is missing, cut short or changed', async () => {
    const copy = await mkdtemp(join(tmpdir(), 'two-needles-broken-'));
    try {
      expect(await loadFrom(copy)).toMatch(/is missing manifest\.json.*npm run assets/);
      await writeModel(copy, { words: ['one'], pronunciations: {} });
      const means = join(copy, 'means');
      const whole = await readFile(means);
      await truncate(means, 100_000);
      expect(await loadFrom(copy)).toMatch(
        /means: The speech model file is cut short: 100000 of 838732 bytes\. Run `npm run assets`/,
      );
      whole[5000] = (whole[5000] ?? 0) ^ 1;
      await writeFile(means, whole);
      expect(await loadFrom(copy)).toMatch(/means: The speech model file is damaged or of another version/);
      await rm(means);
      expect(await loadFrom(copy)).toMatch(/is missing means/);
      await truncate(join(copy, 'manifest.json'), 50);
      expect(await loadFrom(copy)).toMatch(/not valid JSON/);
    } finally {
      await rm(copy, { recursive: true });
    }
  });
});

describe('the reduced dictionary', () => {
  const dictionary = 'read R EH D\nread(2) R IY D\nready R EH D IY\npsi S AY\n';

  it('keeps every pronunciation of its words, and ours instead of the dictionary\u2019s', () => {
    const reduced = reduceDictionary(dictionary, {
      words: ['read', 'psi'],
      pronunciations: { psi: ['P IY EH S AY'], other: ['AH'] },
    });
    const lines = reduced.ok ? reduced.value.split('\n') : [];
    expect(lines.slice(0, 3)).toEqual(['psi P IY EH S AY', 'read R EH D', 'read(2) R IY D']);
    expect(lines).not.toContain('ready R EH D IY');
  });

  it('names every word without a pronunciation', () => {
    const reduced = reduceDictionary(dictionary, { words: ['zymurgy', 'read', 'aardwolf'], pronunciations: {} });
    expect(reduced).toMatchObject({
      ok: false,
      problem: { what: expect.stringContaining('aardwolf, zymurgy') as string },
    });
  });
});
