import type { PressureUnit } from '../units/pressure.ts';
import type { Meaning } from './meaning.ts';
import { buildNetwork } from './network.ts';
import type { State } from './network.ts';
import { normalise } from './normalise.ts';
import { select } from './select.ts';
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
export function parse(grammar: Grammar, rules: readonly string[], text: string, unit: PressureUnit): Meaning | undefined {
  const words = normalise(grammar, text);
  const own = accepted(network(grammar, { rules, unit }), words);
  if (own.length > 0) return singleMeaning(own);
  const other = accepted(network(grammar, { rules, unit: unit === 'psi' ? 'kPa' : 'psi' }), words);
  return singleMeaning(other.filter((ops) => ops.some((op) => op.do === 'named')));
}

/** The tags of every way through the network that spells the words. */
export function accepted(start: State, words: readonly string[]): readonly (readonly Op[])[] {
  if (words.length === 0) return [];
  let ways: readonly { readonly state: State; readonly ops: readonly Op[] }[] = [{ state: start, ops: [] }];
  for (const word of words) {
    ways = ways.flatMap(({ state, ops }) => (state.steps.get(word) ?? []).map((step) => ({ state: step.to, ops: [...ops, ...step.ops] })));
    if (ways.length === 0) return [];
  }
  return ways.flatMap(({ state, ops }) => state.ends.map((end) => [...ops, ...end]));
}

/** The network of a selection, built once per grammar. */
export function network(grammar: Grammar, selection: Selection): State {
  const key = `network ${selection.unit} ${selection.rules.join(' ')}`;
  const known = grammar.prepared.get(key) as State | undefined;
  if (known !== undefined) return known;
  const built = buildNetwork(select(grammar, selection));
  grammar.prepared.set(key, built);
  return built;
}

function singleMeaning(ways: readonly (readonly Op[])[]): Meaning | undefined {
  const meanings = new Map(ways.map(meaningOf).map((meaning) => [JSON.stringify(meaning), meaning]));
  return meanings.size === 1 ? [...meanings.values()][0] : undefined;
}
