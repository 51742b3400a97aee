import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { COMMANDS } from '../../../src/grammar/meaning.ts';
import { parse } from '../../../src/grammar/parse.ts';
import { hints, randomSample, sampleMeaning, samples } from '../../../src/grammar/samples.ts';
import { cueIds, findRule } from '../../../src/grammar/select.ts';
import type { PressureUnit } from '../../../src/units/pressure.ts';
import { loadGrammar } from '../../support/grammar.ts';

const grammar = loadGrammar();

/** Numbers from 0 up to 1 by a seed (Mulberry32). */
function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** Phrases of the rules that are not parsed as what they were made to mean; a phrase with two meanings is parsed as none. */
function misread(rules: readonly string[], unit: PressureUnit): string[] {
  return [...samples(grammar, { rules, unit }, 1)]
    .filter(
      (sample) =>
        JSON.stringify(parse(grammar, ['anything'], sample.text, unit)) !== JSON.stringify(sampleMeaning(sample)),
    )
    .map((sample) => sample.text);
}

describe('every phrase has its one meaning', () => {
  it.each(['cue', 'commands', 'reasons'])('all of <%s>', (rule) => {
    expect(misread([rule], 'psi')).toEqual([]);
  });

  it('any two cues in one breath', () => {
    const cues = [...samples(grammar, { rules: ['cue'], unit: 'psi' }, 1)];
    const wrong: string[] = [];
    for (const first of cues) {
      for (const second of cues) {
        const text = `${first.text} ${second.text}`;
        const meant = sampleMeaning({ text, ops: [...first.ops, ...second.ops] });
        if (JSON.stringify(parse(grammar, ['cues'], text, 'psi')) !== JSON.stringify(meant)) wrong.push(text);
      }
    }
    expect(wrong).toEqual([]);
  }, 600_000);

  it.each(['psi', 'kPa'] as const)(
    'anything at all, by chance, in %s',
    (unit) => {
      fc.assert(
        fc.property(fc.integer(), fc.constantFrom('readings', 'anything'), (seed, rule) => {
          const sample = randomSample(grammar, { rules: [rule], unit }, seeded(seed));
          expect(parse(grammar, [rule], sample.text, unit)).toEqual(sampleMeaning(sample));
        }),
        { numRuns: 5000 },
      );
    },
    600_000,
  );
});

describe('cue and command rules', () => {
  it('are named as what they mean, and mean nothing else', () => {
    for (const cue of cueIds(grammar))
      for (const sample of samples(grammar, { rules: [cue], unit: 'psi' }, 1))
        expect(sampleMeaning(sample)).toEqual({ cues: [cue] });
    for (const command of COMMANDS) {
      const [first] = samples(grammar, { rules: [command], unit: 'psi' }, 1);
      expect(first && sampleMeaning(first)).toEqual({ cues: [], command });
    }
  });

  // Every callout that a step of the built-in plans waits for.
  it.each([
    'chocks-set',
    'walk-round-complete',
    'mirrors-set',
    'ignition-on',
    'engine-started',
    'cut-out',
    'cut-in',
    'engine-off',
    'brakes-released',
    'settled',
    'brake-applied',
    'pedal-released',
    'buzzer',
    'valve-popped',
    'fast-idle-set',
    'fast-idle-off',
    'chocks-stowed',
    'belts-on',
    'in-drive',
    'rig-held',
    'rig-moved',
    'hand-valve-held',
    'straight-stop',
    'pulled-left',
    'pulled-right',
    'check-complete',
  ])('<%s> is there, on its own and among all cues', (cue) => {
    expect(cueIds(grammar)).toContain(cue);
    const hint = hints(grammar, cue, 1)[0] ?? '';
    expect(parse(grammar, ['cues'], hint, 'psi')).toEqual({ cues: [cue] });
  });
});

describe('words that would be taken for others', () => {
  // "No" after a question, or after needles that were read back wrong, is one sound away from it.
  it('"note" alone begins no note', () => {
    expect(parse(grammar, ['anything'], 'note', 'psi')).toBeUndefined();
    expect(parse(grammar, ['anything'], 'take a note', 'psi')).toEqual({ cues: [], command: 'note' });
  });

  it.each([
    ['pedal up', 'pedal-released'],
    ['foot off the brake', 'pedal-released'],
    ['service brake released', 'pedal-released'],
    ['foot on the pedal', 'brake-applied'],
    ['brake pedal down', 'brake-applied'],
    ['brakes released', 'brakes-released'],
    ['parking brake applied', 'parking-brake-set'],
    ['spring brakes on', 'parking-brake-set'],
    ['engine stalled', 'engine-off'],
    ['engine still running', 'engine-started'],
    ['the engine is still running', 'engine-started'],
    ['rig rolled', 'rig-moved'],
    ['the rig is rolling', 'rig-moved'],
  ])('“%s” is %s', (words, meant) => {
    expect(parse(grammar, ['anything'], words, 'psi')).toEqual({ cues: [meant] });
  });
});

describe('hints', () => {
  it('are few, can be said, and begin with the examples of the file', () => {
    expect(hints(grammar, 'readings', 1)).toEqual(['primary one two five, secondary one two four']);
    for (const rule of [...cueIds(grammar), ...COMMANDS, 'readings', 'both', 'corrected']) {
      const shown = hints(grammar, rule, 3);
      expect(shown.length).toBeGreaterThan(0);
      expect(shown.length).toBeLessThanOrEqual(3);
      for (const hint of shown) expect(parse(grammar, [rule], hint, 'psi'), `${rule}: ${hint}`).toBeDefined();
    }
  });

  it('that the files give as examples are phrases of their rule', () => {
    for (const rule of grammar.rules.values())
      for (const example of rule.examples)
        expect(parse(grammar, [findRule(grammar, rule.name).name], example, 'psi'), example).toBeDefined();
  });
});
