import type { PressureUnit } from '../units/pressure.ts';
import { references } from './read-grammar.ts';
import { NULL, VOID, partsOf } from './syntax.ts';
import type { Expansion, Grammar, Rule, Selection } from './syntax.ts';

/** The slot of the step openings that takes the cues listed beside them. */
const SLOT = 'steps.cue';

/** What a selection makes active: one expansion, and the rules that it reaches; nothing in them is void. */
export interface Active {
  readonly expansion: Expansion;
  /** In the order in which they are first reached. */
  readonly rules: ReadonlyMap<string, Expansion>;
}

/** The ids of all cues, in the order of the grammar files. */
export function cueIds(grammar: Grammar): readonly string[] {
  return [...cueRules(grammar).keys()];
}

/**
 * The rules of a selection for its unit. Alternatives of the other unit are cut away. Cue ids beside a step opening
 * (`confirm`, `reading`, `hold`, `event`, `build`, `observe`) fill the opening's slot: that step hears these cues, and
 * an opening without cue ids hears none. Without an opening, the rules are alternatives. Throws on an unknown rule.
 */
export function select(grammar: Grammar, selection: Selection): Active {
  return prepare(grammar, 'active', selection, () => selectRules(grammar, selection));
}

/** What `make` gives for a selection; made once per grammar and `kind`. */
export function prepare<T>(grammar: Grammar, kind: string, selection: Selection, make: () => T): T {
  const key = `${kind} ${selection.unit} ${selection.rules.join(' ')}`;
  const known = grammar.prepared.get(key) as T | undefined;
  if (known !== undefined) return known;
  const made = make();
  grammar.prepared.set(key, made);
  return made;
}

function selectRules(grammar: Grammar, selection: Selection): Active {
  const cues = cueRules(grammar);
  const listed = selection.rules.filter((rule) => cues.has(rule));
  const entries = selection.rules.filter((rule) => !cues.has(rule));
  const hasSlot = entries.some((entry) => dependsOnSlot(grammar, findRule(grammar, entry).name));
  const names = (hasSlot ? entries : selection.rules).map((rule) => findRule(grammar, rule).name);
  const slot: Expansion = choice(listed.map((rule) => reference(findRule(grammar, rule))));

  const rules = new Map<string, Expansion>();
  const visit = (name: string): Expansion => {
    const known = rules.get(name);
    if (known !== undefined) return known;
    const rule = grammar.rules.get(name);
    if (rule === undefined) throw new Error(`unlinked rule ${name}`);
    rules.set(name, VOID);
    const pruned = prune(name === SLOT ? slot : rule.expansion, selection.unit, visit);
    rules.set(name, pruned);
    return pruned;
  };
  const expansion = choice(
    names.map((name) => (visit(name).kind === 'void' ? VOID : reference(findRule(grammar, name)))),
  );
  return { expansion, rules: new Map([...rules].filter(([, each]) => each.kind !== 'void')) };
}

function cueRules(grammar: Grammar): ReadonlyMap<string, Rule> {
  const found = new Map<string, Rule>();
  for (const rule of grammar.rules.values()) {
    const simple = rule.name.slice(rule.name.lastIndexOf('.') + 1);
    if (rule.isPublic && rule.name.startsWith('cues.') && marksCue(rule.expansion, simple)) found.set(simple, rule);
  }
  return found;
}

/** True when the tag `{cue ID}` is in the rule itself: the rule is the cue's own. */
function marksCue(node: Expansion, id: string): boolean {
  if (node.kind === 'tagged' && node.op.do === 'cue' && node.op.id === id) return true;
  return partsOf(node).some((part) => marksCue(part, id));
}

/** A public rule by simple or full name. */
export function findRule(grammar: Grammar, name: string): Rule {
  const exact = grammar.rules.get(name);
  if (exact?.isPublic === true) return exact;
  const found = [...grammar.rules.values()].filter((rule) => rule.isPublic && rule.name.endsWith(`.${name}`));
  const [only] = found;
  if (only === undefined || found.length > 1)
    throw new Error(`${found.length === 0 ? 'no' : 'more than one'} public grammar rule is called "${name}"`);
  return only;
}

/** True when what a rule says depends on the cues listed beside it. `name` is a full name. */
function dependsOnSlot(grammar: Grammar, name: string): boolean {
  if (name === SLOT) return true;
  // Only the openings' own file can use the slot, which is private.
  if (!name.startsWith(SLOT.slice(0, SLOT.indexOf('.') + 1))) return false;
  const rule = grammar.rules.get(name);
  return rule !== undefined && references(rule.expansion).some((each) => dependsOnSlot(grammar, each.name));
}

function reference(rule: Rule): Expansion {
  return { kind: 'rule', name: rule.name, place: rule.place };
}

function choice(items: readonly Expansion[]): Expansion {
  const said = items.filter((item) => item.kind !== 'void');
  const [only] = said;
  if (only === undefined) return VOID;
  return said.length === 1 ? only : { kind: 'choice', items: said.map((item) => ({ item })) };
}

/** Cuts away what can't be said in this unit. `visit` gives the pruned expansion of a rule. */
function prune(node: Expansion, unit: PressureUnit, visit: (name: string) => Expansion): Expansion {
  switch (node.kind) {
    case 'rule':
      return visit(node.name).kind === 'void' ? VOID : node;
    case 'sequence': {
      const items = node.items.map((item) => prune(item, unit, visit));
      return items.some((item) => item.kind === 'void') ? VOID : { ...node, items };
    }
    case 'choice': {
      const items = node.items.map((each) => ({ ...each, item: prune(each.item, unit, visit) }));
      const said = items.filter((each) => each.item.kind !== 'void' && each.weight !== 0);
      const [only] = said;
      if (only === undefined) return VOID;
      return said.length === 1 ? only.item : { ...node, items: said };
    }
    case 'optional':
    case 'repeat': {
      const item = prune(node.item, unit, visit);
      if (item.kind !== 'void') return { ...node, item };
      return node.kind === 'repeat' && node.atLeastOnce ? VOID : NULL;
    }
    case 'tagged': {
      if (node.op.do === 'unit' && node.op.unit !== unit) return VOID;
      const item = prune(node.item, unit, visit);
      return item.kind === 'void' ? VOID : { ...node, item };
    }
    case 'word':
    case 'null':
    case 'void':
      return node;
  }
}
