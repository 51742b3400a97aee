import type { Grammar } from './syntax.ts';

/** Longest written form, in words: "p s i". */
const LONGEST_FORM = 3;

/** Sounds of thinking, wherever they stand. "Oh" is none: it is a zero. Common practice of transcripts, no source. */
const HESITATIONS = new Set(['uh', 'uhm', 'um', 'er', 'erm', 'hm', 'hmm', 'mm']);
const SPELLINGS: Readonly<Record<string, string>> = { licence: 'license', tyre: 'tire', tyres: 'tires' };
/** A “no” that stands alone. */
const CUT_OFF = 'no\u2026';
/** What people begin or end a sentence with, and mean nothing by. */
const LEAD_INS = new Set(['okay', 'ok', 'alright', 'so', 'well', 'now', 'then']);

/**
 * The words of a transcript, as the grammar has them. In this order:
 *
 * 1. lower case; curly apostrophes straight; British spellings as the grammar has them; a “no” within the words that is cut off from what
 *    follows it becomes a word of no rule: “frame, no, cracks” does not say that there are none;
 * 2. a minus before a number becomes a word of its own, which no rule has, so that "-5" is not taken for 5;
 *    other hyphens, and the marks `. , ; : ! ? " ( )` and dashes, part words; "120psi" is parted too;
 * 3. written forms become what is said, by the `{written …}` tags: "psi", "walkaround", and numerals digit by digit
 *    ("125" is "one two five", "120.5" adds "and a half"). Decimals other than a half stay as they are, and mean nothing;
 * 4. "engine's" is "engine is" and "didn't" "did not"; hesitations, a lead-in at either end and a note in brackets ("[hiss]") are no words.
 *
 * Anything else stays in place as a word of no rule: a transcript with an unknown word in it has no meaning.
 */
export function normalise(grammar: Grammar, text: string): readonly string[] {
  const plain = text
    .toLowerCase()
    .replace(/[\u2018\u2019]/g, "'")
    .replace(/\[[^\]]*\]/g, ' ')
    .replace(/\bno(\s*[,.;:!?\u2010-\u2015]|\s+-\s)(?=\W*[a-z])/g, `${CUT_OFF} `)
    .replace(/\b(licence|tyres?)\b/g, (british) => SPELLINGS[british] ?? british)
    .replace(/\bwon't\b/g, 'will not')
    .replace(/n't\b/g, ' not')
    // "That's right" is a phrase of the grammar as it is.
    .replace(/(?<!that)'s\b/g, ' is')
    .replace(/(^|\s)[-\u2212](?=\d)/g, '$1 minus ')
    .replace(/\.(?!\d)|[-\u2010-\u2015,;:!?"\u201c\u201d()]/g, ' ')
    .replace(/(\d)(?=[a-z])/g, '$1 ');
  const [first, ...rest] = withoutLeadIns((plain.match(/\S+/g) ?? []).filter((token) => !HESITATIONS.has(token)));
  const tokens = first === undefined ? [] : [first === CUT_OFF ? 'no' : first, ...rest];
  const words: string[] = [];
  for (let at = 0; at < tokens.length;) {
    const form = writtenAt(grammar, tokens, at);
    words.push(...form.words);
    at += form.length;
  }
  return words;
}

function withoutLeadIns(tokens: readonly string[]): readonly string[] {
  const first = tokens.findIndex((token) => !LEAD_INS.has(token));
  const last = tokens.findLastIndex((token) => !LEAD_INS.has(token));
  return first === -1 ? tokens : tokens.slice(first, last + 1);
}

function writtenAt(
  grammar: Grammar,
  tokens: readonly string[],
  at: number,
): { readonly words: readonly string[]; readonly length: number } {
  for (let length = Math.min(LONGEST_FORM, tokens.length - at); length > 0; length--) {
    const words = grammar.written.get(tokens.slice(at, at + length).join(' '));
    if (words !== undefined) return { words, length };
  }
  const token = tokens[at] ?? '';
  return { words: numeral(grammar, token) ?? [token], length: 1 };
}

/** "125" or "120.5" digit by digit, but "15" as the grammar writes it; undefined when it is no numeral that can be said so. */
function numeral(grammar: Grammar, token: string): readonly string[] | undefined {
  const parts = /^(\d+)(?:(\.\d*?)0*)?$/.exec(token);
  if (parts === null) return undefined;
  const fraction = parts[2] ?? '';
  const whole = parts[1] ?? '';
  const forms = [
    ...(grammar.written.has(whole) ? [whole] : whole.split('')),
    ...(fraction === '' || fraction === '.' ? [] : [fraction]),
  ];
  const words: string[] = [];
  for (const form of forms) {
    const said = grammar.written.get(form);
    if (said === undefined) return undefined;
    words.push(...said);
  }
  return words;
}
