import { compile } from '../../src/grammar/compile.ts';
import type { Ruleset } from '../../src/grammar/ruleset.ts';
import { loadGrammar } from '../support/grammar.ts';
import { HOLD_RULES } from './hearing-check.ts';
import {
  asCardinal,
  CUES,
  digitByDigit,
  DIGITS,
  gluedDigits,
  hasRecordings,
  HOW_TO_GET_THEM,
  picker,
  syntheticReadings,
  unrelatedSentences,
  unrelatedWords,
  words,
  type Said,
} from './hearing-material.ts';

/** Sound of one kind, and what is listened for. */
export interface MaterialSet {
  readonly name: string;
  readonly kind: 'readings' | 'words' | 'unrelated';
  readonly ruleset: Ruleset;
  readonly material: readonly Said[];
}

export const grammar = loadGrammar();

/** What a hold's step listens for: readings, some cues, and the commands. */
const hold = compile(grammar, HOLD_RULES, 'psi');
const anything = compile(grammar, ['anything'], 'psi');
const digitWords = closed('digits', DIGITS.join(' | '), DIGITS);
const cueWords = closed('cuewords', CUES.join(' | '), CUES);
const digitString = closed(
  'strings',
  `one (zero | one | two | three | four | five) (${DIGITS.join(' | ')})`,
  DIGITS.slice(0, 6).flatMap((second) => DIGITS.map((third) => `one ${second} ${third}`)),
);

function closed(name: string, sentences: string, phrases: readonly string[]): Ruleset {
  const list = [...new Set(sentences.match(/[a-z]+/g))].sort();
  return {
    id: name,
    rules: [name],
    jsgf: `#JSGF V1.0;\ngrammar ${name};\npublic <active> = ${sentences};\n`,
    words: list,
    phrases,
  };
}

const READINGS = 60;

/** All sets, in full. Those of people are left out, with a line that says so, where their recordings are not beside the project. */
export async function materialSets(): Promise<readonly MaterialSet[]> {
  const sentences = await unrelatedSentences();
  const sets: MaterialSet[] = [
    set('readings', 'synthetic readings, digits', hold, await syntheticReadings(READINGS, digitByDigit)),
    set('readings', 'synthetic readings, cardinals', hold, await syntheticReadings(READINGS, asCardinal)),
    set('unrelated', 'unrelated sentences (synthetic)', hold, sentences),
    set('unrelated', 'the same, all rules active', anything, sentences),
  ];
  if (!hasRecordings()) {
    console.log(`SKIPPED: 5 sets of human recordings. ${HOW_TO_GET_THEM}`);
    return sets;
  }
  return [
    ...sets,
    set('words', 'single human digits', digitWords, words(DIGITS)),
    set('words', 'single human cue words', cueWords, words(CUES)),
    set('words', 'human digits glued, 16 kHz', digitString, gluedDigits(60, 'speech-commands')),
    set('words', 'human digits glued, 8 kHz', digitString, gluedDigits(60, 'fsdd')),
    set('unrelated', 'unrelated human words', hold, unrelatedWords()),
  ];
}

function set(kind: MaterialSet['kind'], name: string, ruleset: Ruleset, material: readonly Said[]): MaterialSet {
  return { kind, name, ruleset, material };
}

/** `count` of each set, drawn without returning any; the same for the same seed. */
export function sampled(sets: readonly MaterialSet[], count: number, seed: number): readonly MaterialSet[] {
  const pick = picker(seed);
  return sets.map(({ material, ...rest }) => {
    const left = [...material];
    const drawn = Array.from({ length: Math.min(count, left.length) }, () => left.splice(pick(left.length), 1)).flat();
    return { ...rest, material: drawn };
  });
}
