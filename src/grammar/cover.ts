import type { State } from './network.ts';

/** How a state was first reached: the shortest way from the start. */
interface Reached {
  readonly from?: State;
  readonly word?: string;
}

/**
 * Phrases of the network in which every word pair that any phrase has comes at least once, the first and last words as
 * such included. Each is as short as its pair allows.
 */
export function coverPairs(start: State): readonly (readonly string[])[] {
  const reached = new Map<State, Reached>([[start, {}]]);
  const before = new Map<State, { readonly from: State; readonly word: string }[]>();
  const queue: State[] = [start];
  for (const from of queue) {
    for (const [word, steps] of from.steps) {
      for (const { to } of steps) {
        const ways = before.get(to);
        if (ways === undefined) before.set(to, [{ from, word }]);
        else ways.push({ from, word });
        if (!reached.has(to)) {
          reached.set(to, { from, word });
          queue.push(to);
        }
      }
    }
  }
  const ending = shortestEndings(queue, before);

  const covered = new Set<string>();
  const phrases: (readonly string[])[] = [];
  const addPhrase = (words: readonly string[]): void => {
    phrases.push(words);
    for (let at = 0; at <= words.length; at++) covered.add(pair(words[at - 1], words[at]));
  };
  for (const from of queue) {
    const entered: Set<string | undefined> = from === start ? new Set([undefined]) : new Set(before.get(from)?.map((way) => way.word));
    for (const entry of entered) {
      for (const [word, steps] of from.steps) {
        if (covered.has(pair(entry, word))) continue;
        for (const { to } of steps) {
          const rest = endingFrom(to, ending);
          if (rest === undefined) continue;
          addPhrase([...wayTo(from, entry, reached, before), word, ...rest]);
          break;
        }
      }
      if (entry !== undefined && from.ends.length > 0 && !covered.has(pair(entry, undefined))) addPhrase(wayTo(from, entry, reached, before));
    }
  }
  return phrases;
}

function pair(first: string | undefined, second: string | undefined): string {
  return `${first ?? '<s>'} ${second ?? '</s>'}`;
}

/** For each state that can be completed, the word and state that lead to the nearest end; undefined at an end. */
type Endings = ReadonlyMap<State, { readonly word: string; readonly to: State } | undefined>;

function shortestEndings(states: readonly State[], before: ReadonlyMap<State, readonly { readonly from: State; readonly word: string }[]>): Endings {
  const endings = new Map<State, { readonly word: string; readonly to: State } | undefined>();
  const queue = states.filter((state) => state.ends.length > 0);
  for (const state of queue) endings.set(state, undefined);
  for (const to of queue) {
    for (const { from, word } of before.get(to) ?? []) {
      if (endings.has(from)) continue;
      endings.set(from, { word, to });
      queue.push(from);
    }
  }
  return endings;
}

function endingFrom(state: State, endings: Endings): readonly string[] | undefined {
  if (!endings.has(state)) return undefined;
  const words: string[] = [];
  for (let next = endings.get(state); next !== undefined; next = endings.get(next.to)) words.push(next.word);
  return words;
}

/** The words of a short way to a state whose last word is `entry`. */
function wayTo(
  state: State,
  entry: string | undefined,
  reached: ReadonlyMap<State, Reached>,
  before: ReadonlyMap<State, readonly { readonly from: State; readonly word: string }[]>,
): readonly string[] {
  if (entry === undefined) return [];
  const last = before.get(state)?.find((way) => way.word === entry);
  const words = [entry];
  for (let at = last === undefined ? undefined : reached.get(last.from); at?.word !== undefined; at = at.from === undefined ? undefined : reached.get(at.from))
    words.unshift(at.word);
  return words;
}
