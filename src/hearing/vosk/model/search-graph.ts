import { sortedByOutput, type Arc, type State } from '../strict/openfst.ts';
import type { Lexicon } from './lexicon.ts';

/** Where in its word a phone stands; `S` is the only one of its word. The model has each phone once for each place. */
export type Place = 'B' | 'I' | 'E' | 'S';

/** What the graph has to know of the acoustic model. Costs are negative natural logarithms. */
export interface PhoneTable {
  /** The number of silence; throws on a phone that the model lacks. */
  readonly silence: number;
  readonly numberOf: (phone: string, place: Place) => number;
  /** All phones but silence. */
  readonly phones: readonly string[];
  /** Cost of a phone after another one (silence when undefined) in training. */
  readonly pairCost: (before: string | undefined, phone: string) => number;
}

/** Costs of the graph, tuned on recordings that nothing was tested on; the model card says what each does. */
const SILENCE = 0.7;
const NO_SILENCE = 0.7;
const OTHER_SPEECH = -5;
const OTHER_PHONE = 0.4;

/**
 * The HCL part of the search graph (`HCLr.fst`), from the model's transitions to words. There are two places where a word can begin,
 * before and after one optional silence, and both are ends; each pronunciation is a chain of its own. A phone is one state: transition
 * 2n enters phone n, 2n - 1 stays in it. Word 1 is other speech: any three phones or more. `numberOf` gives a word's number.
 * Silence cannot repeat without a word: allowing it made seconds of noise slow.
 */
export function searchGraph(lexicon: Lexicon, numberOf: (word: string) => number, table: PhoneTable): State[] {
  const arcs: Arc[][] = [[], []];
  const [before, after] = [0, 1] as const;
  const beginnings = [
    { from: before, cost: NO_SILENCE },
    { from: after, cost: 0 },
  ] as const;
  const arc = (from: number, input: number, output: number, cost: number, to: number): void => {
    arcs[from]?.push({ input, output, cost, to });
  };
  const stateOf = (): number => arcs.push([]) - 1;
  const stayIn = (state: number, phone: number): void => arc(state, 2 * phone - 1, 0, 0, state);
  const phoneAfter = (
    phone: number,
    output: number,
    cost: number,
    sources: readonly { readonly from: number; readonly cost: number }[],
  ): number => {
    const state = stateOf();
    for (const source of sources) arc(source.from, 2 * phone, output, cost + source.cost, state);
    stayIn(state, phone);
    return state;
  };

  const silence = phoneAfter(table.silence, 0, SILENCE, [{ from: before, cost: 0 }]);
  arc(silence, 0, 0, 0, after);
  for (const [word, ways] of lexicon) {
    for (const way of ways) {
      let sources: readonly { readonly from: number; readonly cost: number }[] = beginnings;
      way.forEach((phone, index) => {
        const number = table.numberOf(phone, placeOf(index, way.length));
        sources = [{ from: phoneAfter(number, index === 0 ? numberOf(word) : 0, 0, sources), cost: 0 }];
      });
      for (const { from } of sources) arc(from, 0, 0, 0, before);
    }
  }
  otherSpeech();
  return sortedByOutput(arcs.map((list, index) => (index <= after ? { final: 0, arcs: list } : { arcs: list })));

  /** Word 1: a first phone, one or more inside, a last one. */
  function otherSpeech(): void {
    const { phones, numberOf: phoneNumber, pairCost } = table;
    const end = stateOf();
    arc(end, 0, 0, 0, before);
    const first = phones.map((phone) =>
      phoneAfter(phoneNumber(phone, 'B'), 1, OTHER_SPEECH + pairCost(undefined, phone), beginnings),
    );
    const inside = phones.map((phone) => {
      const state = stateOf();
      stayIn(state, phoneNumber(phone, 'I'));
      return state;
    });
    const step = (from: number, one: string, other: string, place: Place, to: number): void =>
      arc(from, 2 * phoneNumber(other, place), 0, pairCost(one, other) + OTHER_PHONE, to);
    phones.forEach((one, at) =>
      phones.forEach((other, next) => {
        for (const from of [first[at], inside[at]]) step(from ?? 0, one, other, 'I', inside[next] ?? 0);
      }),
    );
    for (const last of phones) {
      const state = stateOf();
      stayIn(state, phoneNumber(last, 'E'));
      arc(state, 0, 0, 0, end);
      phones.forEach((one, at) => step(inside[at] ?? 0, one, last, 'E', state));
    }
  }
}

function placeOf(index: number, length: number): Place {
  if (length === 1) return 'S';
  if (index === 0) return 'B';
  return index === length - 1 ? 'E' : 'I';
}
