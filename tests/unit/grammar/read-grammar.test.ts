import { describe, expect, it } from 'vitest';
import { parse } from '../../../src/grammar/parse.ts';
import { readGrammar } from '../../../src/grammar/read-grammar.ts';
import { samples } from '../../../src/grammar/samples.ts';
import type { Grammar } from '../../../src/grammar/syntax.ts';
import { problemLine } from '../../../src/units/outcome.ts';

const HEAD = '#JSGF V1.0;\ngrammar x;\n';

function read(sources: Record<string, string>): Grammar {
  const grammar = readGrammar(sources);
  if (!grammar.ok) throw new Error(problemLine(grammar.problem));
  return grammar.value;
}

/** Every phrase of `<x.a>`, repeats at most twice. */
function phrases(rules: string, others: Record<string, string> = {}): string[] {
  return [...samples(read({ 'x.jsgf': HEAD + rules, ...others }), { rules: ['x.a'], unit: 'psi' }, 2)].map(
    (sample) => sample.text,
  );
}

// What each form stands for is in the JSpeech Grammar Format, W3C Note of 5 June 2000, sections 3 and 4.
describe('the JSGF that is read', () => {
  it.each<[string, string, string[]]>([
    ['alternatives', 'public <a> = one | two;', ['one', 'two']],
    ['sequences bind tighter than alternatives', 'public <a> = one two | three four;', ['one two', 'three four']],
    ['groups', 'public <a> = (one | two) three;', ['one three', 'two three']],
    ['optional parts', 'public <a> = one [two | three];', ['one', 'one two', 'one three']],
    ['any number of repeats', 'public <a> = one two*;', ['one', 'one two', 'one two two']],
    ['at least one repeat', 'public <a> = (one | two)+;', ['one', 'two', 'one one', 'one two', 'two one', 'two two']],
    ['weights', 'public <a> = /10/ one | /0.5/ two | /1e-3/ three | /0/ four;', ['one', 'two', 'three']],
    ['quoted words', 'public <a> = "one" "two three" | "fo\\"ur";', ['one two three', 'fo"ur']],
    ['nothing and never', 'public <a> = one <NULL> | two <VOID> | three [<VOID>];', ['one', 'three']],
    ['rules of the file', 'public <a> = <b> <b-2>; <b> = one; <b-2> = two;', ['one two']],
    ['comments', '// one\npublic <a> = one /* | two */ // | three\n | four;', ['one', 'four']],
    ['case is not kept', 'public <a> = One TWO;', ['one two']],
    ['tags may hold escaped braces', 'public <a> = one {written \\{1\\}};', ['one']],
  ])('%s', (_name, rules, expected) => {
    expect(phrases(rules)).toEqual(expected);
  });

  const other = { 'y.jsgf': '#JSGF V1.0 UTF-8 en;\ngrammar y;\npublic <b> = one; public <c> = two; <hidden> = three;' };

  it.each<[string, string]>([
    ['one rule', 'import <y.b>; import <y.c>; public <a> = <b> <c>;'],
    ['all rules', 'import <y.*>; public <a> = <b> <c>;'],
    ['full names', 'public <a> = <y.b> <y.c>;'],
  ])('imports of %s', (_name, rules) => {
    expect(phrases(rules, other)).toEqual(['one two']);
  });

  it('a rule of the file goes before an imported one', () => {
    expect(phrases('import <y.*>; public <a> = <b>; <b> = mine;', other)).toEqual(['mine']);
  });

  it('a byte order mark and CRLF line ends', () => {
    const grammar = read({ 'folder/x.jsgf': `\uFEFF${HEAD}public <a> = one;\n`.replaceAll('\n', '\r\n') });
    expect(parse(grammar, ['a'], 'one', 'psi')).toEqual({ cues: [] });
  });
});

describe('a mistake in a grammar file', () => {
  it.each<[string, string, string, RegExp]>([
    ['no header', 'grammar x;', '1:1', /header/],
    ['another version', '#JSGF V2.0;\ngrammar x;', '1:1', /header/],
    ['no grammar name', '#JSGF V1.0;\npublic <a> = one;', '2:1', /"grammar" is missing/],
    ["a name that is not the file's", '#JSGF V1.0;\ngrammar y;', '2:9', /called "y"/],
    ['an undefined rule', `${HEAD}public <a> = one\n  <nope>;`, '4:3', /<nope> is not defined/],
    [
      'a private rule of another file',
      `${HEAD}import <y.b>;\npublic <a> = <y.hidden>;`,
      '4:14',
      /<y.hidden> is not defined/,
    ],
    ['an import of nothing', `${HEAD}import <y.nope>;`, '3:8', /finds no public rule/],
    ['an import without a grammar', `${HEAD}import <b>;`, '3:8', /finds no public rule/],
    ['a name that two imports give', `${HEAD}import <y.*>;\nimport <z.*>;\npublic <a> = <b>;`, '5:14', /may be any of/],
    ['an unclosed group', `${HEAD}public <a> = one (two | three;`, '3:18', /\( is not closed/],
    ['an unclosed optional', `${HEAD}public <a> = [one;`, '3:14', /\[ is not closed/],
    ['a group closed by the wrong bracket', `${HEAD}public <a> = (one];`, '3:14', /\( is not closed/],
    ['a bracket too many', `${HEAD}public <a> = one);`, '3:17', /";" is missing/],
    ['a missing semicolon', `${HEAD}public <a> = one\n<b> = two;`, '4:5', /";" is missing before "="/],
    ['an unclosed tag', `${HEAD}public <a> = one {cue b;`, '3:18', /tag is not closed/],
    ['an unclosed quote', `${HEAD}public <a> = "one;`, '3:14', /quoted word is not closed/],
    ['an empty quote', `${HEAD}public <a> = "";`, '3:14', /quoted word is empty/],
    ['an unclosed comment', `${HEAD}/* public <a> = one;`, '3:1', /comment is not closed/],
    ['an unclosed rule name', `${HEAD}public <a = one;`, '3:8', /rule name is not closed/],
    ['a weight that is no number', `${HEAD}public <a> = /much/ one | /1/ two;`, '3:14', /"much" is not a weight/],
    ['a weight below 0', `${HEAD}public <a> = /-1/ one | /1/ two;`, '3:14', /"-1" is not a weight/],
    ['an unclosed weight', `${HEAD}public <a> = /1 one;`, '3:14', /weight is not closed/],
    ['weights for some only', `${HEAD}public <a> = /1/ one | two;`, '3:24', /Some alternatives have a weight/],
    ['only weights of 0', `${HEAD}public <a> = /0/ one | /0/ two;`, '3:31', /Every alternative has weight 0/],
    ['an empty alternative', `${HEAD}public <a> = one | ;`, '3:20', /empty/],
    ['an empty rule', `${HEAD}public <a> = ;`, '3:14', /empty/],
    [
      'a rule defined twice',
      `${HEAD}public <a> = one;\n<a> = two;`,
      '4:1',
      /<a> is defined twice; first at x\.jsgf:3:8/,
    ],
    [
      'a rule that reaches itself',
      `${HEAD}public <a> = one <b>;\n<b> = [two <a>];`,
      '4:12',
      /<x\.a> reaches itself: x\.a > x\.b > x\.a/,
    ],
    ['a bad rule name', `${HEAD}public <a.b> = one;`, '3:8', /not a rule name/],
    ['an unknown tag', `${HEAD}public <a> = one {shout};`, '3:18', /\{shout\} is not a tag/],
    ['a number tag without a number', `${HEAD}public <a> = one {add x};`, '3:18', /not a tag/],
    ['an unknown command', `${HEAD}public <a> = one {command fly};`, '3:18', /not a tag/],
    ['words outside a rule', `${HEAD}one two;`, '3:1', /A rule must begin here/],
    ['a stray sign', `${HEAD}public <a> = one > two;`, '3:18', /not expected/],
  ])('%s is refused with its place', (_name, source, place, what) => {
    const others = {
      'y.jsgf': '#JSGF V1.0;\ngrammar y;\npublic <b> = one; <hidden> = two;',
      'z.jsgf': '#JSGF V1.0;\ngrammar z;\npublic <b> = one;',
    };
    const grammar = readGrammar({ ...others, 'grammars/x.jsgf': source });
    expect(grammar.ok).toBe(false);
    if (grammar.ok) return;
    expect(grammar.problem.what).toMatch(what);
    expect(grammar.problem.where).toBe(`x.jsgf:${place}`);
    expect(grammar.problem.repair).toMatch(/./);
  });
});

describe('rules asked for by a name that no grammar has', () => {
  it('are a mistake of the program, named', () => {
    expect(() => parse(read({ 'x.jsgf': `${HEAD}public <a> = one;` }), ['b'], 'one', 'psi')).toThrow(
      'no public grammar rule is called "b"',
    );
  });
});
