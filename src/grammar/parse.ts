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
  if (own.length > 0) return singleMeaning(own);
  const other = accepted(network(grammar, { rules, unit: unit === 'psi' ? 'kPa' : 'psi' }), words);
  return singleMeaning(other.filter((ops) => ops.some((op) => op.do === 'named')));
}

/** A way through the network so far: where it stands, and the tags passed, last ones first. */
interface Way {
  readonly state: State;
  readonly ops: readonly Op[];
  readonly before?: Way;
}

/** The tags of every way through the network that spells the words. */
function accepted(start: State, words: readonly string[]): readonly (readonly Op[])[] {
  if (words.length === 0) return [];
  let ways: Way[] = [{ state: start, ops: [] }];
  for (const word of words) {
    const longer: Way[] = [];
    for (const way of ways)
      for (const step of way.state.steps.get(word) ?? []) longer.push({ state: step.to, ops: step.ops, before: way });
    if (longer.length === 0) return [];
    ways = longer;
  }
  return ways.flatMap((way) => way.state.ends.map((end) => [...opsOf(way), ...end]));
}

function opsOf(last: Way): readonly Op[] {
  const parts: (readonly Op[])[] = [];
  for (let way: Way | undefined = last; way !== undefined; way = way.before) parts.push(way.ops);
  return parts.reverse().flat();
}

function network(grammar: Grammar, selection: Selection): State {
  return prepare(grammar, 'network', selection, () => buildNetwork(select(grammar, selection)));
}

function singleMeaning(ways: readonly (readonly Op[])[]): Meaning | undefined {
  const [first, ...others] = ways.map(meaningOf);
  return others.every((other) => JSON.stringify(other) === JSON.stringify(first)) ? first : undefined;
}
