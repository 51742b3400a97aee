import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import createEngine from 'soundswallower';
import { beforeAll, describe, expect, it } from 'vitest';
import { grammarWords } from '../../../src/cli/shared/read-inputs.ts';
import { compile } from '../../../src/grammar/compile.ts';
import { parse } from '../../../src/grammar/parse.ts';
import { PRONUNCIATIONS } from '../../../src/grammar/pronunciations.ts';
import { readGrammar } from '../../../src/grammar/read-grammar.ts';
import { randomSample, samples } from '../../../src/grammar/samples.ts';
import { loadGrammar } from '../../support/grammar.ts';

const grammar = loadGrammar();
const STEPS = [
  ['confirm', 'chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on'],
  ['reading'],
  ['reading', 'engine-started'],
  ['hold', 'engine-off', 'brakes-released', 'settled'],
  ['event', 'cut-out', 'fast-idle-off'],
  ['build', 'engine-started', 'fast-idle-set'],
  ['observe', 'straight-stop', 'pulled-left', 'pulled-right', 'check-complete'],
];
const publicRules = [...grammar.rules.values()].filter((rule) => rule.isPublic).map((rule) => [rule.name]);

/** A compiled grammar, read back by our own reader: what it says without its tags. */
function readBack(jsgf: string): ReturnType<typeof loadGrammar> {
  const read = readGrammar({ 'two_needles.jsgf': jsgf });
  if (!read.ok) throw new Error(read.problem.what);
  return read.value;
}

describe('a compiled ruleset', () => {
  it.each(STEPS)('of %s … says what the step hears', (...rules) => {
    for (const unit of ['psi', 'kPa'] as const) {
      const compiled = readBack(compile(grammar, rules, unit).jsgf);
      let seed = 1;
      const random = (): number => (seed = (seed * 16807) % 2147483647) / 2147483647;
      const lost: string[] = [];
      for (let run = 0; run < 200; run++) {
        const ours = randomSample(grammar, { rules, unit }, random).text;
        if (parse(compiled, ['active'], ours, unit) === undefined) lost.push(ours);
        const theirs = randomSample(compiled, { rules: ['active'], unit }, random).text;
        if (parse(grammar, rules, theirs, unit) === undefined) lost.push(theirs);
      }
      expect(lost).toEqual([]);
    }
  });

  it('has one public rule, plain names, and no tag or import', () => {
    const { jsgf } = compile(grammar, ['anything'], 'psi');
    expect(jsgf.match(/public <\w+>/g)).toEqual(['public <active>']);
    expect(jsgf).not.toMatch(/[{}]|import/);
    for (const [, name] of jsgf.matchAll(/<([^>]+)>/g)) expect(name).toMatch(/^\w+$/);
  });

  it('lists the words of its phrases, all of them and no other, sorted', () => {
    const { words } = compile(grammar, ['cue', 'commands'], 'psi');
    const said = new Set(
      [...samples(grammar, { rules: ['cue', 'commands'], unit: 'psi' }, 1)].flatMap(({ text }) => text.split(' ')),
    );
    expect(words).toEqual([...said].sort());
    expect(compile(grammar, ['hold', 'settled'], 'psi').words).not.toContain('chocks');
    expect(compile(grammar, ['readings'], 'psi').words).not.toContain('kilopascals');
    expect(compile(grammar, ['readings'], 'kPa').words).not.toContain('pounds');
  });

  it.each([...STEPS, ['readings'], ['cues']])(
    'of %s … has phrases that are its own and hold every word pair that can be said',
    (...rules) => {
      const { phrases } = compile(grammar, rules, 'psi');
      const strangers = phrases.filter((phrase) => parse(grammar, rules, phrase, 'psi') === undefined);
      expect(strangers).toEqual([]);
      const covered = new Set(phrases.flatMap(pairsOf));
      let seed = 7;
      const random = (): number => (seed = (seed * 16807) % 2147483647) / 2147483647;
      const lacking: string[] = [];
      for (let run = 0; run < 2000; run++) {
        const { text } = randomSample(grammar, { rules, unit: 'psi' }, random);
        for (const pair of pairsOf(text.replaceAll('_', ' ')))
          if (!covered.has(pair)) lacking.push(`${pair} of ${text}`);
      }
      expect(lacking).toEqual([]);
    },
  );

  it('has an id that tells it from every other', () => {
    const rulesets = [...STEPS, ...publicRules].flatMap((rules) => [
      compile(grammar, rules, 'psi'),
      compile(grammar, rules, 'kPa'),
    ]);
    const byId = new Map(rulesets.map((ruleset) => [ruleset.id, ruleset.jsgf]));
    for (const { id, jsgf } of rulesets) expect(byId.get(id)).toBe(jsgf);
    expect(compile(loadGrammar(), ['cues'], 'psi')).toEqual(compile(grammar, ['cues'], 'psi'));
  });
});

/** Neighbouring words, the phrase's begin and end among them. */
function pairsOf(phrase: string): string[] {
  const words = `< ${phrase} >`.split(' ');
  return words.slice(1).map((word, index) => `${words[index] ?? ''} ${word}`);
}

describe('the embedded engine', () => {
  const model = join(dirname(createRequire(import.meta.url).resolve('soundswallower')), 'model');
  let decoder: { set_grammar(jsgf: string): void; lookup_word(word: string): string | null };

  beforeAll(async () => {
    const engine = await createEngine({ modelBase: `${model}/`, print: () => {}, printErr: () => {} } as object);
    const made = new engine.Decoder({ loglevel: 'FATAL' });
    await made.initialize();
    for (const [word, sounds] of Object.entries(PRONUNCIATIONS))
      sounds.forEach((phones, index) => made.add_words([index === 0 ? word : `${word}(${index + 1})`, phones]));
    decoder = made;
  }, 600_000);

  it('has every word in its dictionary or among the pronunciations, and no pronunciation is idle', () => {
    const dictionary = new Set(
      readFileSync(join(model, 'en-us/dict.txt'), 'utf8')
        .split('\n')
        .map((line) => line.split(/\s/)[0]),
    );
    const words = new Set(grammarWords(grammar));
    expect([...words].filter((word) => !dictionary.has(word) && PRONUNCIATIONS[word] === undefined)).toEqual([]);
    expect(Object.keys(PRONUNCIATIONS).filter((word) => !words.has(word))).toEqual([]);
  });

  it.each([...publicRules, ...STEPS])(
    'takes the grammar of %s …',
    (...rules) => {
      // Most say nothing of a pressure: theirs is the same in both units, and taken once.
      const grammars = new Set((['psi', 'kPa'] as const).map((unit) => compile(grammar, rules, unit).jsgf));
      for (const jsgf of grammars) expect(() => decoder.set_grammar(jsgf)).not.toThrow();
    },
    600_000,
  );
});
