import { describe, expect, it } from 'vitest';
import { normalise } from '../../../src/grammar/normalise.ts';
import { readGrammar } from '../../../src/grammar/read-grammar.ts';
import { samples } from '../../../src/grammar/samples.ts';
import { problemLine } from '../../../src/units/outcome.ts';
import { readRules } from '../../support/grammar.ts';

function phrases(rules: string): string[] {
  return [...samples(readRules(rules), { rules: ['x.a'], unit: 'psi' }, 1)].map(({ text }) => text);
}

/** The line that a file `x.jsgf` is refused with. */
function refusal(source: string): string {
  const y = '#JSGF V1.0;\ngrammar y;\npublic <b> = one;';
  const read = readGrammar({ 'x.jsgf': source, 'y.jsgf': y, 'z.jsgf': y.replace('grammar y', 'grammar z') });
  return read.ok ? 'accepted' : problemLine(read.problem);
}

// JSpeech Grammar Format, W3C Note of 5 June 2000, sections 2 to 4.
describe('details of the JSGF that is read', () => {
  it.each<[string, string, string[]]>([
    [
      'weights in every form of a number',
      'public <a> = /1.25/ a | /.75/ b | /1e20/ c | /2.5E+10/ d | /3./ e | /4e-3/ f;',
      ['a', 'b', 'c', 'd', 'e', 'f'],
    ],
    ['spaces in weights and names', 'public < a > = / 0.5 / one | / 1 / < b >; <b> = two;', ['one', 'two']],
    ['spaces in quotes', 'public <a> = " one  two ";', ['one two']],
    ['quoted signs', 'public <a> = one ";" two;', ['one ; two']],
    [
      'rules that are called as the words of the format',
      'public <a> = <public> <import>; <public> = one; <import> = two;',
      ['one two'],
    ],
    ['own rules by their full name', 'public <a> = <x.b>; <b> = one;', ['one']],
    ['comments of no length', '/**/ public <a> = one /***/;', ['one']],
    ['documentation comments within a rule', 'public <a> = one /** @example three */ | two;', ['one', 'two']],
    ['a sign of the header in a word', 'public <a> = one#two;', ['one#two']],
  ])('%s', (_what, rules, expected) => {
    expect(phrases(rules)).toEqual(expected);
  });

  it('examples of the last comment before a rule', () => {
    const rules = readRules(
      '/** @example old */\n/** @example   one\n *  @example two  */\npublic <a> = one | two;',
    ).rules;
    expect(rules.get('x.a')?.examples.map((text) => text.replace(/\s*\*$/, ''))).toEqual(['one', 'two']);
  });

  it('the written form of the first alternatives, without optional parts, from the rule that comes first', () => {
    const grammar = readRules(
      'public <a> = (one [two]) {written x} | <b> {written y} | (three | four) {written z} | five {written x}; <b> = six;',
    );
    expect(['x', 'y', 'z'].map((text) => normalise(grammar, text))).toEqual([['one'], ['six'], ['three']]);
  });
});

const HEAD = '#JSGF V1.0;\ngrammar x;\n';

describe('a mistake is told with what stands there', () => {
  it.each<[string, string]>([
    ['#JSGF V1.0 UTF-8 en us;\ngrammar x;', 'x.jsgf:1:1: The file does not begin with a JSGF header. Make'],
    ['#JSGF V1.0; grammar x;', 'x.jsgf:1:1: The file does not begin with a JSGF header. Make'],
    ['##JSGF V1.0;\ngrammar x;', 'x.jsgf:1:1: The file does not begin with a JSGF header. Make'],
    ['#JSGF V1.0;\n"grammar" x;', 'x.jsgf:2:1: "grammar" is missing before "grammar". Declare'],
    ['#JSGF V1.0;\ngrammar ;', 'x.jsgf:2:9: The grammar has no name. Declare the name'],
    [`${HEAD}import y;`, 'x.jsgf:3:8: An import names no rule. Write "import <grammar.rule>;".'],
    [`${HEAD}public <a> = one`, 'x.jsgf:3:17: ";" is missing before the end of the file. Put'],
    [`${HEAD}public <a> <b>;`, 'x.jsgf:3:12: "=" is missing before <b>. Put'],
    [`${HEAD}public <a> {b};`, 'x.jsgf:3:12: "=" is missing before {b}. Put'],
    [`${HEAD}public <a> = /1x/ one;`, 'x.jsgf:3:14: "1x" is not a weight. Use'],
    [`${HEAD}public <a> = /x1/ one;`, 'x.jsgf:3:14: "x1" is not a weight. Use'],
    [`${HEAD}public <a> = /.x/ one;`, 'x.jsgf:3:14: ".x" is not a weight. Use'],
    [`${HEAD}public <a> = /1 one |\n /2/ two;`, 'x.jsgf:3:14: The weight is not closed. Write'],
    [`${HEAD}public <a\n> = one;`, 'x.jsgf:3:8: The rule name is not closed. Close'],
    [`${HEAD}public <a> = "  ";`, 'x.jsgf:3:14: A quoted word is empty. Put'],
    [
      `${HEAD}import <y.*>; import <z.*>; public <a> = <b>;`,
      'x.jsgf:3:42: <b> may be any of <y.b>, <z.b>. Write the full name.',
    ],
    [`${HEAD}<c> = <a>; <a> = one <b>; <b> = <a>;`, 'x.jsgf:3:33: <x.a> reaches itself: x.a > x.b > x.a. Use'],
  ])('%j', (source, line) => {
    expect(refusal(source)).toContain(line);
  });

  it('but not a header with character set and language, and a space before its end', () => {
    expect(refusal('#JSGF V1.0  UTF-8  en ;\ngrammar x;')).toBe('accepted');
  });
});
