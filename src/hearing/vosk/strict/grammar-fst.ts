import type { AcceptorState } from '../../../grammar/acceptor.ts';
import { NUMBER_WORDS as NUMBERS } from '../../number-words.ts';
import type { Arc, State } from './openfst.ts';

/**
 * Cost (negative natural logarithm) of leaving the sentences. A filler word costs as much as the dearest word in a sentence: so a callout
 * never goes through the filler for its words alone, and this only has to break ties. Dearer, and other speech is bent into callouts.
 */
const LEAVING = 0.5;

/**
 * The most that a word of other speech costs, as if some nine words were alike likely. At the cost of one among all words, 8 of 100 other
 * sentences 5 dB above a diesel became callouts: a number costs what numbers are like, and not what there is beside them.
 */
const OTHER_SPEECH = 2.25;

/** What joins one needle's number to the other's; the end of the sentence counts with them. */
const JOINING = new Set(['primary', 'secondary', 'and']);

/**
 * How likely a number goes on or begins, something joins, or any other word comes, where a number is under way, is complete, or is due.
 * Alike likely, each of some seventy ways on would make a short number as good as a long one: "eighty three secondary" was heard as
 * "eighty secondary", "seven" as "settled", "eighty" as "gauge". From what the grammar's numbers are like, ours, no source.
 */
const LIKELY = {
  underWay: { number: 0.85, joining: 0.12, other: 0.03 },
  complete: { number: 0, joining: 0.9, other: 0.1 },
  due: { number: 0.85, joining: 0.05, other: 0.1 },
} as const;
type Kind = keyof (typeof LIKELY)['due'];

/**
 * What a teen costs more than a ten: "thirty" begins ten numbers, and "thirteen" is one. Alike likely, 20 of 76 readings that were heard
 * wrongly over a diesel, 5 and 10 dB below, were "thirteen" for "thirty" or its like, none the other way. Not so after a hundred: in most of
 * a check the needles stand in its teens.
 */
const ONE_OF_TEN = Math.log(10);
const TEENS = new Set(['thirteen', 'fourteen', 'fifteen', 'sixteen', 'seventeen', 'eighteen', 'nineteen']);

/**
 * The grammar graph (`Gr.fst`) of some sentences: they word by word, all ways on alike likely but in and around numbers, and beside them a filler: any run of
 * their words and of other speech. What goes through the filler comes out as `unknown`, so that words in a wrong order are not bent
 * into the sentence that is nearest. `running`: one sentence or run of other speech after another. `numberOf` gives a word's number in the model; undefined where it lacks it.
 */
export function grammarStates(
  sentences: readonly AcceptorState[],
  numberOf: (word: string) => number | undefined,
  unknown: number,
  running = false,
): readonly State[] {
  const numbered = (word: string): number => {
    const number = numberOf(word);
    if (number === undefined) throw new Error(`the model lacks the word ${word}`);
    return number;
  };
  const first = 1;
  const filler = first + sentences.length;
  const costs = costsOf(sentences);
  const inHundreds = statesInHundreds(sentences);
  const within = sentences.map(({ isFinal, next }, at): State => {
    const costOf = costs[at] ?? (() => 0);
    const arcs = [...next].map(([word, to]) => {
      const number = numbered(word);
      const more = !inHundreds.has(at) && TEENS.has(word) ? ONE_OF_TEN : 0;
      return { input: number, output: number, cost: costOf(kindOf(word)) + more, to: first + to };
    });
    if (!isFinal) return { arcs };
    const end = costOf('joining');
    return running ? { arcs: [...arcs, free(end, 0)] } : { final: end, arcs };
  });
  const words = [...new Set(sentences.flatMap(({ next }) => [...next.keys()]))];
  const dearest = costs.flatMap((costOf, at) => {
    const { isFinal, next } = sentences[at] ?? { isFinal: false, next: new Map<string, number>() };
    return [...(isFinal ? ['joining' as const] : []), ...[...next.keys()].map(kindOf)].map(costOf);
  });
  const otherCost = Math.min(Math.log(words.length + 2), OTHER_SPEECH);
  const fillerCost = Math.max(otherCost, ...dearest);
  const anyWord = [
    { input: unknown, output: unknown, cost: otherCost, to: filler + 1 },
    ...words.map((word) => {
      const cost = fillerCost + (TEENS.has(word) ? ONE_OF_TEN : 0);
      return { input: numbered(word), output: unknown, cost, to: filler + 1 };
    }),
  ];
  const start: State = {
    // Nothing said at all, or nothing more.
    final: running ? 0 : LEAVING,
    arcs: [free(0, first), free(LEAVING, filler)],
  };
  const afterFiller: State = running ? { arcs: [...anyWord, free(otherCost, 0)] } : { final: otherCost, arcs: anyWord };
  return sortedByInput([start, ...within, { arcs: anyWord }, afterFiller]);
}

/** The states after "one", "hundred" and the "and" after that. */
function statesInHundreds(sentences: readonly AcceptorState[]): ReadonlySet<number> {
  const after = (words: readonly string[], states: readonly AcceptorState[]): number[] =>
    states.flatMap(({ next }) => [...next].flatMap(([word, to]) => (words.includes(word) ? [to] : [])));
  const hundreds = after(['one', 'hundred'], sentences);
  const ands = after(
    ['and'],
    hundreds.flatMap((at) => sentences[at] ?? []),
  );
  return new Set([...hundreds, ...ands]);
}

function kindOf(word: string): Kind {
  return NUMBERS.has(word) ? 'number' : JOINING.has(word) ? 'joining' : 'other';
}

/** For each state, the cost of a way on by its kind. */
function costsOf(sentences: readonly AcceptorState[]): ((kind: Kind) => number)[] {
  const afterNumber = new Set(
    sentences.flatMap(({ next }) => [...next].flatMap(([word, to]) => (NUMBERS.has(word) ? [to] : []))),
  );
  return sentences.map(({ isFinal, next }, at) => {
    const ways = { number: 0, joining: isFinal ? 1 : 0, other: 0 };
    for (const word of next.keys()) ways[kindOf(word)] += 1;
    const all = Math.log(next.size + (isFinal ? 1 : 0));
    // At the beginning anything may be said.
    if (at === 0) return () => all;
    const before = ways.number > 0 ? LIKELY.due : undefined;
    const after = ways.number > 0 ? LIKELY.underWay : LIKELY.complete;
    const likely = afterNumber.has(at) ? after : before;
    if (likely === undefined) return () => all;
    const kinds = ['number', 'joining', 'other'] as const;
    const whole = kinds.reduce((sum, kind) => sum + (ways[kind] > 0 ? likely[kind] : 0), 0);
    return (kind) => -Math.log(likely[kind] / whole / ways[kind]);
  });
}

function free(cost: number, to: number): Arc {
  return { input: 0, output: 0, cost, to };
}

/** Composition looks the grammar's arcs up by their input label, so they must be stored in that order. */
function sortedByInput(states: readonly State[]): State[] {
  return states.map((state) => ({ ...state, arcs: [...state.arcs].sort((a, b) => a.input - b.input) }));
}
