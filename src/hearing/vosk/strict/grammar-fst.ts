import type { AcceptorState } from '../../../grammar/acceptor.ts';
import type { Arc, State } from './openfst.ts';

/**
 * Cost (negative natural logarithm) of leaving the sentences. A filler word, and the filler's end, cost as much as if all words and
 * the end were alike likely, which is never less than the same word or end in a sentence: so a callout never goes through the
 * filler for its words alone, and this only has to break ties. Dearer, and other speech is bent into callouts.
 */
const LEAVING = 0.5;

/**
 * The grammar graph (`Gr.fst`) of some sentences: they word by word, all ways on alike likely, and beside them a filler: any run of
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
  const within = sentences.map(({ isFinal, next }): State => {
    const cost = Math.log(next.size + (isFinal ? 1 : 0));
    const arcs = [...next].map(([word, to]) => {
      const number = numbered(word);
      return { input: number, output: number, cost, to: first + to };
    });
    if (!isFinal) return { arcs };
    return running ? { arcs: [...arcs, free(cost, 0)] } : { final: cost, arcs };
  });
  const words = new Set(sentences.flatMap(({ next }) => [...next.keys()]));
  const inputs = [unknown, ...[...words].map(numbered)];
  const fillerCost = Math.log(inputs.length + 1);
  const anyWord = inputs.map((input) => ({ input, output: unknown, cost: fillerCost, to: filler + 1 }));
  const start: State = {
    // Nothing said at all, or nothing more.
    final: running ? 0 : LEAVING,
    arcs: [free(0, first), free(LEAVING, filler)],
  };
  const afterFiller: State = running
    ? { arcs: [...anyWord, free(fillerCost, 0)] }
    : { final: fillerCost, arcs: anyWord };
  return sortedByInput([start, ...within, { arcs: anyWord }, afterFiller]);
}

function free(cost: number, to: number): Arc {
  return { input: 0, output: 0, cost, to };
}

/** Composition looks the grammar's arcs up by their input label, so they must be stored in that order. */
function sortedByInput(states: readonly State[]): State[] {
  return states.map((state) => ({ ...state, arcs: [...state.arcs].sort((a, b) => a.input - b.input) }));
}
