import { placesOf } from '../check/places.ts';
import type { Plan } from '../check/plan.ts';
import { readGrammar } from '../grammar/read-grammar.ts';
import type { Grammar } from '../grammar/syntax.ts';
import { ITEMS_FILE, itemsGrammar } from '../items/items-grammar.ts';
import { problemLine } from '../units/outcome.ts';

const made = new WeakMap<Grammar, WeakMap<Plan, Grammar>>();

/**
 * The grammar with the items of a plan in it, so that a department's own item is heard without touching code; the grammar itself for a plan
 * without items. Made once for each plan. `readPlan` has refused what cannot be written as a grammar.
 */
export function grammarOfPlan(grammar: Grammar, plan: Plan): Grammar {
  const places = placesOf(plan);
  if (places.length === 0) return grammar;
  const ofGrammar = made.get(grammar) ?? new WeakMap<Plan, Grammar>();
  made.set(grammar, ofGrammar);
  const known = ofGrammar.get(plan);
  if (known !== undefined) return known;
  const read = readGrammar({ ...grammar.sources, [ITEMS_FILE]: itemsGrammar(places) });
  if (!read.ok) throw new Error(problemLine(read.problem));
  ofGrammar.set(plan, read.value);
  return read.value;
}
