import { wordsTable as symbolTable } from '../../../src/hearing/vosk/model/model-files.ts';
import { sortedByOutput } from '../../../src/hearing/vosk/strict/openfst.ts';
import type { Arc, State } from '../../../src/hearing/vosk/strict/openfst.ts';

/** A word of the model and the one-state phones it is a chain of. Its symbol is its place in the list, from 1. */
export interface WordChain {
  readonly word: string;
  /** Phone numbers from 1. */
  readonly phones: readonly number[];
}

/** Phone 1 is silence in every model written here. */
const SILENCE = 1;
/** Cost of beginning a word: without it noise turns into strings of short words. */
const WORD_COST = 6;

/**
 * The HCL part of the search graph, from transition ids to words: chains of phones between two places where a word can begin,
 * one before and one after an optional silence. Silence cannot repeat without a word: allowing it made seconds of noise slow.
 */
export function wordLoop(words: readonly WordChain[]): State[] {
  const arcs: Arc[][] = [[], []];
  const chain = (
    phones: readonly number[],
    symbol: number,
    cost: number,
    from: readonly number[],
    to: number,
  ): void => {
    let sources = from;
    phones.forEach((phone, index) => {
      const state = arcs.push([]) - 1;
      const first = index === 0;
      for (const source of sources) {
        arcs[source]!.push({
          input: 2 * phone,
          output: first ? symbol : 0,
          cost: Math.LN2 + (first ? cost : 0),
          to: state,
        });
      }
      arcs[state]!.push({ input: 2 * phone - 1, output: 0, cost: Math.LN2, to: state });
      sources = [state];
    });
    for (const source of sources) arcs[source]!.push({ input: 0, output: 0, cost: 0, to });
  };
  chain([SILENCE], 0, 0, [0], 1);
  words.forEach(({ phones }, index) => chain(phones, index + 1, WORD_COST, [0, 1], 0));
  return sortedByOutput(arcs.map((list, index) => (index < 2 ? { final: 0, arcs: list } : { arcs: list })));
}

/** Any word after any word, all alike: used when no grammar is given. */
export function anyWord(words: number): State[] {
  const cost = Math.log(words);
  return [
    {
      final: 1,
      arcs: Array.from({ length: words }, (_, index) => ({ input: index + 1, output: index + 1, cost, to: 0 })),
    },
  ];
}

/** `words.txt` of the words and the empty symbol. */
export function wordsTable(words: readonly string[]): string {
  return symbolTable(['<eps>', ...words]);
}

/** `word_boundary.int`: where in its word each phone stands, which is what word times are cut by. */
export function wordBoundaries(words: readonly WordChain[]): string {
  const lines = [`${SILENCE} nonword`];
  for (const { phones } of words) {
    phones.forEach((phone, index) => {
      const place =
        phones.length === 1 ? 'singleton' : index === 0 ? 'begin' : index === phones.length - 1 ? 'end' : 'internal';
      lines.push(`${phone} ${place}`);
    });
  }
  return `${lines.join('\n')}\n`;
}
