import type { PressureUnit } from '../units/pressure.ts';
import type { Meaning } from './meaning.ts';
import { buildNetwork } from './network.ts';
import type { State } from './network.ts';
import { normalise } from './normalise.ts';
import { prepare, select } from './select.ts';
import type { Grammar, Selection } from './syntax.ts';
import { meaningOf } from './tags.ts';
import type { Op } from './tags.ts';

/**
 * What words mean under some rules (see `select`), in a check read in `unit`; undefined when the rules don't have the
 * phrase, or give it two meanings. Tolerates what transcripts do to words (see `normalise`).
 *
 * A reading that names the other unit ("primary eight five zero kilopascals" in a check read in psi) is understood in
 * that unit: the unit said once counts for both needles, and without it the check's own unit does.
 */
export function parse(
  grammar: Grammar,
  rules: readonly string[],
  text: string,
  unit: PressureUnit,
): Meaning | undefined {
  const words = normalise(grammar, text);
  const own = accepted(network(grammar, { rules, unit }), words);
  if (own.length > 0) return sameMeaning(own.map(({ ops }) => meaningOf(ops)));
  const other = accepted(network(grammar, { rules, unit: unit === 'psi' ? 'kPa' : 'psi' }), words);
  return sameMeaning(other.filter(({ ops }) => ops.some((op) => op.do === 'named')).map(({ ops }) => meaningOf(ops)));
}

/** What a word may stand for besides itself; an empty one: it may be left out. */
export type FormsOf = (word: string) => readonly string[];

/**
 * The same for words that are near a phrase of the rules, as “belts are starting to crack” is near “belts are cracked”: the phrase that takes
 * the fewest changes, if all that take as few mean the same. Only meanings that `isWanted` count, whatever else the words may be near.
 */
export function parseNear(
  grammar: Grammar,
  { rules, text, unit }: { readonly rules: readonly string[]; readonly text: string; readonly unit: PressureUnit },
  formsOf: FormsOf,
  isWanted: (meaning: Meaning) => boolean,
): Meaning | undefined {
  const words = normalise(grammar, text);
  const found = accepted(network(grammar, { rules, unit }), words, formsOf)
    .map(({ ops, changes }) => ({ meaning: meaningOf(ops), changes }))
    .filter(({ meaning }) => isWanted(meaning));
  const least = Math.min(...found.map(({ changes }) => changes));
  return sameMeaning(found.filter(({ changes }) => changes === least).map(({ meaning }) => meaning));
}

/** A way through the network so far: where it stands, how many words were changed, and the tags passed, last ones first. */
interface Way {
  readonly state: State;
  readonly ops: readonly Op[];
  readonly changes: number;
  readonly before?: Way;
}

/** As many ways are followed at once; words that may be so much are too unclear to mean anything. */
const MOST_WAYS = 500;

/** The tags of every way through the network that spells the words, or what they may stand for. */
function accepted(
  start: State,
  words: readonly string[],
  formsOf: FormsOf = () => [],
): readonly { readonly ops: readonly Op[]; readonly changes: number }[] {
  if (words.length === 0) return [];
  let ways: Way[] = [{ state: start, ops: [], changes: 0 }];
  for (const word of words) {
    const longer: Way[] = [];
    const others = formsOf(word);
    for (const way of ways) {
      const changes = way.changes + 1;
      follow(longer, way, word, way.changes);
      for (const other of others) {
        if (other === '') longer.push({ ...way, changes });
        else follow(longer, way, other, changes);
      }
    }
    if (longer.length === 0 || longer.length > MOST_WAYS) return [];
    ways = longer;
  }
  return ways.flatMap((way) => way.state.ends.map((end) => ({ ops: [...opsOf(way), ...end], changes: way.changes })));
}

function follow(ways: Way[], before: Way, word: string, changes: number): void {
  for (const step of before.state.steps.get(word) ?? []) ways.push({ state: step.to, ops: step.ops, changes, before });
}

function opsOf(last: Way): readonly Op[] {
  const parts: (readonly Op[])[] = [];
  for (let way: Way | undefined = last; way !== undefined; way = way.before) parts.push(way.ops);
  return parts.reverse().flat();
}

function network(grammar: Grammar, selection: Selection): State {
  return prepare(grammar, 'network', selection, () => buildNetwork(select(grammar, selection)));
}

function sameMeaning([first, ...others]: readonly Meaning[]): Meaning | undefined {
  return others.every((other) => JSON.stringify(other) === JSON.stringify(first)) ? first : undefined;
}
