import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { buildOwnModel } from '../../../../src/cli/model/own-model.ts';
import { compile } from '../../../../src/grammar/compile.ts';
import { PRONUNCIATIONS } from '../../../../src/grammar/pronunciations.ts';
import type { Grammar } from '../../../../src/grammar/syntax.ts';
import { createVoskRecogniser } from '../../../../src/hearing/vosk/vosk-recogniser.ts';
import type { Lexicon } from '../../../../src/hearing/vosk/model/lexicon.ts';
import { modelFiles } from '../../../../src/hearing/vosk/model/model-files.ts';
import { checkPhones, MODEL_PHONES } from '../../../../src/hearing/vosk/model/phone-table.ts';
import { fetchServedModel } from '../../../../src/hearing/vosk/model/served-model.ts';
import { openVoskWorker } from '../../../../src/hearing/vosk/host/open-in-node.ts';
import type { Recogniser } from '../../../../src/hearing/port.ts';
import { problemLine } from '../../../../src/units/outcome.ts';
import { loadGrammar, withCues } from '../../../support/grammar.ts';
import { utterance } from './spoken.ts';

const acoustic = readFileSync(new URL('../../../../src/hearing/vosk/model/final.mdl', import.meta.url));

/** The words and pronunciations of the archive that the model's makers published the figures of its card with. */
function referenceLexicon(): Lexicon {
  const ways = new Map<string, string[][]>();
  for (const line of readFileSync(new URL('./reference-lexicon.txt', import.meta.url), 'utf8')
    .trim()
    .split('\n')) {
    const [first = '', ...phones] = line.split(' ');
    const word = first.replace(/\(\d+\)$/, '');
    ways.set(word, [...(ways.get(word) ?? []), phones]);
  }
  return ways;
}

async function engineFor(grammar: Grammar, pronunciations = PRONUNCIATIONS): Promise<Recogniser> {
  const archive = await buildOwnModel(grammar, { pronunciations });
  if (!archive.ok) throw new Error(problemLine(archive.problem));
  const blob = new Blob([archive.value]);
  const engine = createVoskRecogniser({ archive: () => Promise.resolve(blob), openWorker: openVoskWorker });
  await engine.load(() => undefined);
  return engine;
}

describe('the graph of our own model', () => {
  // Digests of the files in `two-needles-en.tar.gz`, whose graph was written by a program of its own, in another language.
  it('is byte for byte that of the published archive, for its words', () => {
    const files = modelFiles(acoustic, referenceLexicon());
    const digests = Object.entries(files.ok ? files.value : {})
      .filter(([name]) => name.startsWith('graph/'))
      .map(([name, bytes]) => [name, createHash('sha256').update(bytes).digest('hex')]);
    expect(Object.fromEntries(digests)).toEqual({
      'graph/HCLr.fst': '7663f6d5fb8545b7439e17f07889757685858d45c73931d886f2824ce5456d29',
      'graph/Gr.fst': '1323a56c809b03c98110ff3927c21d08af2080f389f8431c5f8de61ce5cb1cbb',
      'graph/words.txt': '7588c97bdd9e73509373c3241b9330514f37851133c7b3276719be6a1026e2ab',
      'graph/disambig_tid.int': '2f7b41c34cd42b7beb8865fca85ef9d67d5993725d8a8e94579a45e40eaa911d',
      'graph/phones/word_boundary.int': '35141d593607e69b6e1216e73cd6f669320cd521e62ae345340a04e170936d86',
    });
  });

  it('is not made of a word that nobody says how to pronounce, which is named', async () => {
    const built = await buildOwnModel(withCues({ lanyard: 'gromblefitz secured' }));
    expect(built.ok ? '' : problemLine(built.problem)).toMatch(/no pronunciation for: gromblefitz\./);
  });

  it('is not made of a pronunciation in phones that the model lacks', async () => {
    const built = await buildOwnModel(loadGrammar(), { pronunciations: { ...PRONUNCIATIONS, chocks: ['CH AA1 K S'] } });
    expect(built.ok ? '' : problemLine(built.problem)).toMatch(
      /“chocks” has a phone that the acoustic model lacks: CH AA1 K S/,
    );
  });

  it('is refused with the phone table of another model', () => {
    expect(checkPhones(acoustic)).toMatchObject({ ok: true });
    expect(checkPhones(acoustic, MODEL_PHONES.slice(1))).toMatchObject({ ok: false });
    const swapped = MODEL_PHONES.map((phone) => ({ ...phone, enter: 79 - phone.enter }));
    expect(checkPhones(acoustic, swapped)).toMatchObject({ ok: false });
    expect(checkPhones(new Uint8Array(100))).toMatchObject({ ok: false });
  });
});

describe('the engine on our own model', { timeout: 600_000 }, () => {
  afterAll(async () => (await ours).close());

  it.each(['primary seventeen', 'both at one hundred', 'secondary fifty', 'settled'])(
    'hears a short sentence that could go on: %s',
    async (text) => {
      const engine = await ours;
      await engine.setGrammar(HOLD);
      for (const voice of ['rms', 'awb'] as const)
        expect((await engine.recognise(await utterance(text, voice), 0)).text).toBe(text);
    },
  );

  it('takes unrelated words for other speech', async () => {
    const engine = await ours;
    await engine.setGrammar(HOLD);
    const heard = await engine.recognise(await utterance('the hose needs to be rolled up before we leave', 'rms'), 0);
    expect(heard).toMatchObject({ text: '', rejected: true });
  });

  it('hears a phrase and a word that were added to the grammar, without training', async () => {
    const added = withCues({ 'outriggers-in': 'outriggers [are] (stowed | in)', 'needles-low': 'both needles low' });
    const ruleset = compile(added, ['outriggers-in', 'needles-low', 'settled'], 'psi');
    const engine = await engineFor(added, { ...PRONUNCIATIONS, outriggers: ['AW T R IH G ER Z'] });
    await engine.setGrammar(ruleset);
    for (const text of ['outriggers stowed', 'both needles low'])
      expect((await engine.recognise(await utterance(text, 'rms'), 0)).text).toBe(text);
    await engine.close();
  });
});

describe('our own model, served', () => {
  const archive = new Uint8Array([1, 2, 3, 4]);
  const facts = (bytes: Uint8Array): string =>
    JSON.stringify({ name: 'm', bytes: bytes.length, sha256: createHash('sha256').update(bytes).digest('hex') });
  const serving =
    (files: Record<string, BodyInit>): typeof fetch =>
    (input) => {
      const body = files[(input as string).replace('https://station.invalid/models/own/', '')];
      return Promise.resolve(body === undefined ? new Response('', { status: 404 }) : new Response(body));
    };
  const fetched = async (files: Record<string, BodyInit>): Promise<string> => {
    const got = await fetchServedModel('https://station.invalid/models/own/', serving(files));
    return got.ok ? `${got.value.size} bytes` : got.problem.what;
  };

  it.each([
    ['whole', { 'model.json': facts(archive), 'model.tgz': archive }, '4 bytes'],
    ['changed in one byte', { 'model.json': facts(archive), 'model.tgz': new Uint8Array([1, 2, 3, 5]) }, /damaged/],
    ['cut short', { 'model.json': facts(archive), 'model.tgz': archive.slice(1) }, /cut short: 3 of 4 bytes/],
    ['without its list', { 'model.tgz': archive }, /not in this build/],
    ['with a broken list', { 'model.json': '{', 'model.tgz': archive }, /damaged/],
  ])('is taken only as it was built: %s', async (_, files, line) => {
    expect(await fetched(files)).toMatch(line);
  });
});

const HOLD = compile(loadGrammar(), ['hold', 'settled', 'brakes-released'], 'psi');
const ours = engineFor(loadGrammar());
