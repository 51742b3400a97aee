import { placeText } from './syntax.ts';
import type { Place } from './syntax.ts';
import { bad, good } from '../units/outcome.ts';
import type { Outcome } from '../units/outcome.ts';

/** A token of a JSGF file. `doc` is a documentation comment; `end` closes the list. */
export interface Lexeme {
  readonly kind: 'header' | 'word' | 'quoted' | 'rule' | 'tag' | 'weight' | 'doc' | 'sign' | 'end';
  readonly text: string;
  readonly place: Place;
}

const SIGNS = ';=|()[]*+';
const WORD = /[^\s;=|*+<>()[\]{}/"]+/y;

/** Cuts a JSGF file (W3C Note of 5 June 2000) into tokens. Fails with the place of what is not closed or not allowed. */
export function scan(file: string, source: string): Outcome<readonly Lexeme[]> {
  const text = source.replace(/^\uFEFF/, '');
  const lexemes: Lexeme[] = [];
  const placeOf = placeFinder(file, text);
  let at = 0;

  while (at < text.length) {
    const start = at;
    const char = text.charAt(at);
    const add = (kind: Lexeme['kind'], value: string): void =>
      void lexemes.push({ kind, text: value, place: placeOf(start) });
    const fail = (what: string, repair: string): Outcome<never> => bad(what, placeText(placeOf(start)), repair);

    if (/\s/.test(char)) at++;
    else if (text.startsWith('//', at)) at = endOfLine(text, at);
    else if (text.startsWith('/*', at)) {
      const end = text.indexOf('*/', at + 2);
      if (end < 0) return fail('The comment is not closed.', 'Close it with */.');
      if (text.startsWith('/**', at) && end > at + 2) add('doc', text.slice(at + 3, end));
      at = end + 2;
    } else if (char === '#' && at === 0) {
      at = endOfLine(text, at);
      add('header', text.slice(start, at).trim());
    } else if (char === '/') {
      const end = text.indexOf('/', at + 1);
      if (end < 0 || end > endOfLine(text, at)) return fail('The weight is not closed.', 'Write a weight as /0.5/.');
      add('weight', text.slice(at + 1, end).trim());
      at = end + 1;
    } else if (char === '<') {
      const end = text.indexOf('>', at);
      if (end < 0 || end > endOfLine(text, at)) return fail('The rule name is not closed.', 'Close it with >.');
      add('rule', text.slice(at + 1, end).trim());
      at = end + 1;
    } else if (char === '{' || char === '"') {
      const close = char === '{' ? '}' : '"';
      const end = closing(text, at + 1, close);
      if (end < 0)
        return fail(
          char === '{' ? 'The tag is not closed.' : 'The quoted word is not closed.',
          `Close it with ${close}.`,
        );
      add(char === '{' ? 'tag' : 'quoted', text.slice(at + 1, end).replace(/\\(.)/gs, '$1'));
      at = end + 1;
    } else if (SIGNS.includes(char)) {
      add('sign', char);
      at++;
    } else {
      WORD.lastIndex = at;
      const word = WORD.exec(text)?.[0];
      if (word === undefined) return fail(`"${char}" is not expected here.`, 'Remove it, or quote the word.');
      add('word', word);
      at += word.length;
    }
  }
  lexemes.push({ kind: 'end', text: 'the end of the file', place: placeOf(text.length) });
  return good(lexemes);
}

function endOfLine(text: string, from: number): number {
  const end = text.indexOf('\n', from);
  return end < 0 ? text.length : end;
}

/** The next `close` that no backslash escapes; -1 when there is none. */
function closing(text: string, from: number, close: string): number {
  for (let at = from; at < text.length; at++) {
    if (text.charAt(at) === '\\') at++;
    else if (text.charAt(at) === close) return at;
  }
  return -1;
}

/** Places of growing offsets, counting each line once. */
function placeFinder(file: string, text: string): (offset: number) => Place {
  let line = 1;
  let lineStart = 0;
  return (offset) => {
    for (let end = text.indexOf('\n', lineStart); end >= 0 && end < offset; end = text.indexOf('\n', lineStart)) {
      line++;
      lineStart = end + 1;
    }
    return { file, line, column: offset - lineStart + 1 };
  };
}
