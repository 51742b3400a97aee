import { describe, expect, it } from 'vitest';
import { compile } from '../../../src/grammar/compile.ts';
import { normalise } from '../../../src/grammar/normalise.ts';
import { parse } from '../../../src/grammar/parse.ts';
import { cueIds, select } from '../../../src/grammar/select.ts';
import { loadGrammar, readRules } from '../../support/grammar.ts';

describe('words under a grammar of a few rules', () => {
  it('that have two meanings mean nothing, and that come to one meaning in two ways mean it', () => {
    const twofold = readRules('public <a> = one {cue x} | one {cue y};');
    expect(parse(twofold, ['a'], 'one', 'psi')).toBeUndefined();
    const twice = readRules('public <a> = one {cue x} | (one | two) {cue x};');
    expect(parse(twice, ['a'], 'one', 'psi')).toEqual({ cues: ['x'] });
  });

  it('of which nothing need be said are not heard in silence', () => {
    expect(parse(readRules('public <a> = [one];'), ['a'], '', 'psi')).toBeUndefined();
  });

  it('must be said once where they must be repeated, and need not where they may', () => {
    expect(parse(readRules('public <a> = two one+;'), ['a'], 'two', 'psi')).toBeUndefined();
    expect(parse(readRules('public <a> = two one*;'), ['a'], 'two', 'psi')).toBeDefined();
    expect(parse(readRules('public <a> = two ([one])*;'), ['a'], 'two one one', 'psi')).toBeDefined();
  });
});

describe('a transcript', () => {
  const grammar = loadGrammar();

  it.each<[string, string[]]>([
    ['-5', ['minus', 'five']],
    ['primary \u22125', ['primary', 'minus', 'five']],
    ['one-five', ['one', 'five']],
    ['120.0', ['one', 'two', 'zero']],
    ['120.', ['one', 'two', 'zero']],
    ['1,050', ['one', 'zero', 'five', 'zero']],
    ['85psi', ['eight', 'five', 'p_s_i']],
    ['p.s.i. and K.P.A.', ['p_s_i', 'and', 'k_p_a']],
    ['b12', ['b12']],
    ['12.7', ['12.7']],
    ['  one \n\t two  ', ['one', 'two']],
    ['“that’s”', ["that's"]],
    ['Okay, the engine’s off now.', ['the', 'engine', 'is', 'off']],
    ["it didn't hold", ['it', 'did', 'not', 'hold']],
    ['[hiss] um, so primary uh one two', ['primary', 'one', 'two']],
    ['one oh five', ['one', 'oh', 'five']],
    ['okay', ['okay']],
  ])('%j is %j', (text, words) => {
    expect(normalise(grammar, text)).toEqual(words);
  });

  it('may write several words for those of a rule', () => {
    const rules = readRules('public <a> = (one {written x y z} | two {written x y});');
    expect(normalise(rules, 'x y z x y xy')).toEqual(['one', 'two', 'xy']);
  });
});

describe('the rules that are asked for', () => {
  it('are an opening with its cues in it, or alternatives', () => {
    const grammar = loadGrammar();
    expect(select(grammar, { rules: ['confirm', 'chocks-set'], unit: 'psi' }).expansion).toMatchObject({
      kind: 'rule',
      name: 'steps.confirm',
    });
    for (const rules of [
      ['readings', 'cut-out'],
      ['anything', 'cut-out'],
    ])
      expect(select(grammar, { rules, unit: 'psi' }).expansion).toMatchObject({
        kind: 'choice',
        items: [{ item: { kind: 'rule' } }, { item: { kind: 'rule', name: 'cues.cut-out' } }],
      });
  });

  it('are refused by a name that two grammars have', () => {
    const grammar = readRules('public <b> = one;', { 'y.jsgf': '#JSGF V1.0;\ngrammar y;\npublic <b> = two;' });
    expect(() => parse(grammar, ['b'], 'one', 'psi')).toThrow('more than one public grammar rule is called "b"');
    expect(parse(grammar, ['y.b'], 'two', 'psi')).toBeDefined();
  });

  it('are cues where a public rule of the cues has its own name as its cue', () => {
    const cues =
      '#JSGF V1.0;\ngrammar cues;\npublic <one> = a {cue one}; <two> = b {cue two}; public <three> = c {cue one};';
    const grammar = readRules('public <four> = d {cue four};', {
      'cues.jsgf': `${cues} public <five> = e {reason five};`,
    });
    expect(cueIds(grammar)).toEqual(['one']);
  });

  it('leave nothing of what can never be said', () => {
    const grammar = readRules(
      'public <a> = one | <VOID> {cue x} | two [<VOID>] | three <VOID>* | four <VOID>+ | <b> | (<VOID> | five); <b> = six <VOID>;',
    );
    expect(compile(grammar, ['a'], 'psi').jsgf).toBe(
      '#JSGF V1.0;\ngrammar two_needles;\npublic <active> = <x_a>;\n<x_a> = one | two | three | five;\n',
    );
  });
});
