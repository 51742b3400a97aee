import { readFile } from './read-file.ts';
import type { Ruleset } from './ruleset.ts';
import type { Expansion } from './syntax.ts';

/** A place between two words of a sentence. */
export interface AcceptorState {
  /** A sentence may be complete here. */
  readonly isFinal: boolean;
  /** The words that may come next, and the index of the state behind each. */
  readonly next: ReadonlyMap<string, number>;
}

/**
 * The sentences of a ruleset as a word automaton: deterministic and minimal (states that go on alike are one), for engines that
 * keep to the order of the words. Words are spelled out, as in `Ruleset.phrases`. Ways that need a word which `knows` denies are
 * cut away. State 0 is the start; undefined when no sentence is left.
 */
export function acceptorOf(
  ruleset: Pick<Ruleset, 'jsgf'>,
  knows: (word: string) => boolean,
): readonly AcceptorState[] | undefined {
  return trimmed(minimal(deterministic(layOut(ruleset.jsgf, knows))));
}

/** Nodes with free moves and words that lead on; node 0 is the start. */
interface Network {
  readonly free: number[][];
  readonly words: (readonly [word: string, to: number])[][];
  readonly end: number;
}

function layOut(jsgf: string, knows: (word: string) => boolean): Network {
  const file = readFile('active', jsgf);
  if (!file.ok) throw new Error(`unreadable ruleset: ${file.problem.what}`);
  const rules = new Map(file.value.rules.map(({ name, expansion }) => [name, expansion]));
  const free: number[][] = [];
  const words: (readonly [string, number])[][] = [];
  const node = (): number => {
    words.push([]);
    return free.push([]) - 1;
  };
  const lay = (part: Expansion, from: number, to: number): void => {
    switch (part.kind) {
      case 'word': {
        const spelled = part.word.split('_');
        if (!spelled.every(knows)) return;
        let at = from;
        spelled.forEach((word, index) => {
          const next = index === spelled.length - 1 ? to : node();
          words[at]?.push([word, next]);
          at = next;
        });
        return;
      }
      case 'rule': {
        const expansion = rules.get(part.name);
        if (expansion === undefined) throw new Error(`the ruleset lacks its rule ${part.name}`);
        lay(expansion, from, to);
        return;
      }
      case 'sequence': {
        const last = part.items.reduce((at, item) => {
          const next = node();
          lay(item, at, next);
          return next;
        }, from);
        free[last]?.push(to);
        return;
      }
      case 'choice':
        for (const { item } of part.items) lay(item, from, to);
        return;
      case 'optional':
        lay(part.item, from, to);
        free[from]?.push(to);
        return;
      case 'repeat': {
        const [head, tail] = [node(), node()];
        free[from]?.push(head);
        lay(part.item, head, tail);
        free[tail]?.push(head, to);
        if (!part.atLeastOnce) free[from]?.push(to);
        return;
      }
      case 'tagged':
        lay(part.item, from, to);
        return;
      case 'null':
        free[from]?.push(to);
        return;
      case 'void':
        return;
    }
  };
  const [start, end] = [node(), node()];
  lay({ kind: 'rule', name: 'active', place: file.value.place }, start, end);
  return { free, words, end };
}

/** Subset construction: a state is the set of nodes where one can be. */
function deterministic({ free, words, end }: Network): AcceptorState[] {
  const indexOf = new Map<string, number>();
  const sets: (readonly number[])[] = [];
  const stateOf = (nodes: Iterable<number>): number => {
    const reached = new Set(nodes);
    for (const node of reached) for (const to of free[node] ?? []) reached.add(to);
    const telling = [...reached].filter((node) => node === end || (words[node] ?? []).length > 0).sort((a, b) => a - b);
    const key = telling.join();
    const known = indexOf.get(key);
    if (known !== undefined) return known;
    indexOf.set(key, sets.length);
    return sets.push(telling) - 1;
  };
  stateOf([0]);
  const states: AcceptorState[] = [];
  // `sets` grows while it is worked through.
  for (const nodes of sets) {
    const targets = new Map<string, Set<number>>();
    for (const node of nodes) {
      for (const [word, to] of words[node] ?? []) {
        const known = targets.get(word);
        if (known === undefined) targets.set(word, new Set([to]));
        else known.add(to);
      }
    }
    const next = new Map([...targets].map(([word, tos]) => [word, stateOf(tos)]));
    states.push({ isFinal: nodes.includes(end), next });
  }
  return states;
}

/** Moore's refinement: states stay together while they go on alike. The start's class is numbered 0. */
function minimal(states: readonly AcceptorState[]): AcceptorState[] {
  let classOf = states.map(() => 0);
  let count = 1;
  for (;;) {
    const numbers = new Map<string, number>();
    const refined = states.map(({ isFinal, next }) => {
      const ways = [...next].map(([word, to]) => `${word}>${classOf[to]}`).sort();
      const key = `${isFinal} ${ways.join(' ')}`;
      const number = numbers.get(key) ?? numbers.size;
      numbers.set(key, number);
      return number;
    });
    classOf = refined;
    if (numbers.size === count) break;
    count = numbers.size;
  }
  const merged: AcceptorState[] = [];
  states.forEach(({ isFinal, next }, index) => {
    const at = classOf[index] ?? 0;
    merged[at] ??= { isFinal, next: new Map([...next].map(([word, to]) => [word, classOf[to] ?? 0])) };
  });
  return merged;
}

/** Without the ways that end nowhere, as words that are not known leave them. */
function trimmed(states: readonly AcceptorState[]): readonly AcceptorState[] | undefined {
  const leads = new Set(states.flatMap(({ isFinal }, index) => (isFinal ? [index] : [])));
  for (let before = -1; before !== leads.size;) {
    before = leads.size;
    states.forEach(({ next }, index) => {
      if ([...next.values()].some((to) => leads.has(to))) leads.add(index);
    });
  }
  if (!leads.has(0)) return undefined;
  const numbers = new Map([...leads].sort((a, b) => a - b).map((index, number) => [index, number]));
  return [...numbers.keys()].map((index) => {
    const state = states[index];
    const next = new Map<string, number>();
    for (const [word, to] of state?.next ?? []) {
      const number = numbers.get(to);
      if (number !== undefined) next.set(word, number);
    }
    return { isFinal: state?.isFinal === true, next };
  });
}
