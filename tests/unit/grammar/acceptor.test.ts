import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { acceptorOf } from '../../../src/grammar/acceptor.ts';
import type { AcceptorState } from '../../../src/grammar/acceptor.ts';
import { compile } from '../../../src/grammar/compile.ts';
import { randomSample } from '../../../src/grammar/samples.ts';
import { loadGrammar } from '../../support/grammar.ts';

const anyWord = (): boolean => true;

function automaton(sentences: string, knows: (word: string) => boolean = anyWord): readonly AcceptorState[] {
  const states = acceptorOf({ jsgf: `#JSGF V1.0;\ngrammar t;\npublic <active> = ${sentences}\n` }, knows);
  if (states === undefined) throw new Error('no sentence is left');
  return states;
}

function accepts(states: readonly AcceptorState[], words: readonly string[]): boolean {
  let at = 0;
  for (const word of words) {
    const next = states[at]?.next.get(word);
    if (next === undefined) return false;
    at = next;
  }
  return states[at]?.isFinal === true;
}

describe('the automaton of a ruleset', () => {
  // The same language twice: as JSGF, and as a regular expression over words of one letter.
  it.each([
    ['a b | a c | b;', /^(ab|ac|b)$/],
    ['[a] (b | a b)* c;', /^a?(b|ab)*c$/],
    ['(a | b)+ a b [c];', /^(a|b)+abc?$/],
    ['<x> [<y>] | <NULL>;\n<x> = (a | <y>) b;\n<y> = c | d [c];', /^((a|(c|dc?))b(c|dc?)?)?$/],
    ['a (b [c])* | a <VOID> d;', /^a(bc?)*$/],
  ])('has the sentences of %s and no others', (sentences, expression) => {
    const states = automaton(sentences);
    fc.assert(
      fc.property(fc.array(fc.constantFrom('a', 'b', 'c', 'd'), { maxLength: 7 }), (words) => {
        expect(accepts(states, words)).toBe(expression.test(words.join('')));
      }),
      { numRuns: 500 },
    );
  });

  it('is as small as can be', () => {
    // "x a", "y a", "x b", "y b": one state before, between and after.
    expect(automaton('x a | x b | y a | y b;')).toHaveLength(3);
    expect(automaton('x y x y | x y;')).toHaveLength(5);
  });

  it('spells out what is said letter by letter', () => {
    expect(accepts(automaton('nine p_s_i;'), ['nine', 'p', 's', 'i'])).toBe(true);
  });

  it('leaves out the sentences that need a word the model lacks, and says when none is left', () => {
    const states = automaton('governor cut out | cut out [niner];', (word) => word !== 'governor' && word !== 'niner');
    expect([...(states[0]?.next.keys() ?? [])]).toEqual(['cut']);
    expect(accepts(states, ['cut', 'out'])).toBe(true);
    expect(states).toHaveLength(3);
    expect(acceptorOf({ jsgf: '#JSGF V1.0;\ngrammar t;\npublic <active> = a b;\n' }, (word) => word === 'a')).toBe(
      undefined,
    );
  });

  it.each([[['readings']], [['hold', 'engine-off', 'settled']], [['event', 'buzzer']]])(
    'takes every phrase of %s',
    (rules) => {
      const grammar = loadGrammar();
      for (const unit of ['psi', 'kPa'] as const) {
        const states = acceptorOf(compile(grammar, rules, unit), anyWord);
        let seed = 7;
        const random = (): number => (seed = (seed * 16807) % 2147483647) / 2147483647;
        for (let run = 0; run < 300; run += 1) {
          const { text } = randomSample(grammar, { rules, unit }, random);
          expect(accepts(states ?? [], text.split(/[ _]/)), text).toBe(true);
        }
      }
    },
  );
});
