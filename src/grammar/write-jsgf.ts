import type { Active } from './select.ts';
import { partsOf } from './syntax.ts';
import type { Alternative, Expansion } from './syntax.ts';

/**
 * The selection as one JSGF grammar without tags and imports. It says exactly what the selection says, in few groups:
 * engines lay a group or a rule reference as a part of its own, tied in by empty moves, and the time that they take to
 * set a grammar grows with the square of those. So rules are put in place wherever that opens no group.
 */
export function writeJsgf(active: Active): string {
  const plain = new Map<string, Expansion>();
  for (const [name, expansion] of active.rules) plain.set(name, expansion);
  const simple = new Simplifier(plain);
  const start = simple.of(active.expansion);
  const kept = reachable(start, simple);
  const names = safeNames(kept);
  const lines = ['#JSGF V1.0;', 'grammar two_needles;', `public <active> = ${writeChoice(start, names)};`];
  for (const name of kept) lines.push(`<${names.get(name) ?? name}> = ${writeChoice(simple.rule(name), names)};`);
  return `${lines.join('\n')}\n`;
}

/** Strips tags, opens sequences in sequences and choices in choices, and puts rules that need no group in place. */
class Simplifier {
  private readonly rules: ReadonlyMap<string, Expansion>;
  private readonly done = new Map<string, Expansion>();

  constructor(rules: ReadonlyMap<string, Expansion>) {
    this.rules = rules;
  }

  rule(name: string): Expansion {
    const known = this.done.get(name);
    if (known !== undefined) return known;
    const expansion = this.rules.get(name);
    if (expansion === undefined) throw new Error(`inactive rule ${name}`);
    const simple = this.of(expansion);
    this.done.set(name, simple);
    return simple;
  }

  of(node: Expansion): Expansion {
    switch (node.kind) {
      case 'rule': {
        const simple = this.rule(node.name);
        return simple.kind === 'choice' ? node : simple;
      }
      case 'tagged':
        return this.of(node.item);
      case 'sequence': {
        const items = node.items
          .map((item) => this.of(item))
          .flatMap((item) => (item.kind === 'sequence' ? item.items : item.kind === 'null' ? [] : [item]));
        const [only] = items;
        if (only === undefined) return { kind: 'null' };
        return items.length === 1 ? only : { kind: 'sequence', items };
      }
      case 'choice':
        return { kind: 'choice', items: node.items.flatMap((each) => this.alternatives(each)) };
      case 'optional': {
        const item = this.of(node.item);
        return item.kind === 'optional' || item.kind === 'null' ? item : { kind: 'optional', item: this.opened(item) };
      }
      case 'repeat':
        return { ...node, item: this.opened(this.of(node.item)) };
      case 'word':
      case 'null':
      case 'void':
        return node;
    }
  }

  private alternatives(each: Alternative): readonly Alternative[] {
    const item = this.opened(this.of(each.item));
    const weighted =
      each.weight !== undefined || (item.kind === 'choice' && item.items.some((inner) => inner.weight !== undefined));
    return item.kind === 'choice' && !weighted ? item.items : [{ ...each, item }];
  }

  /** The expansion of a rule that stands alone, where it may be opened without a group. */
  private opened(node: Expansion): Expansion {
    return node.kind === 'rule' ? this.rule(node.name) : node;
  }
}

/** Names of the rules that are still referred to, in the order in which they are reached. */
function reachable(start: Expansion, simple: Simplifier): ReadonlySet<string> {
  const found = new Set<string>();
  const walk = (node: Expansion): void => {
    if (node.kind === 'rule') {
      if (found.has(node.name)) return;
      found.add(node.name);
      walk(simple.rule(node.name));
    }
    partsOf(node).forEach(walk);
  };
  walk(start);
  return found;
}

/** Letters, digits and underscores only: engines read less than the Note allows. */
function safeNames(names: Iterable<string>): ReadonlyMap<string, string> {
  const safe = new Map<string, string>();
  const taken = new Set(['active']);
  for (const name of names) {
    const base = name.replace(/[^A-Za-z0-9]/g, '_');
    let free = base;
    for (let n = 2; taken.has(free); n++) free = `${base}_${n}`;
    taken.add(free);
    safe.set(name, free);
  }
  return safe;
}

type Names = ReadonlyMap<string, string>;

/** Where alternatives need no brackets. */
function writeChoice(node: Expansion, names: Names): string {
  if (node.kind !== 'choice') return write(node, names);
  return node.items
    .map((each) => `${each.weight === undefined ? '' : `/${each.weight}/ `}${write(each.item, names)}`)
    .join(' | ');
}

function write(node: Expansion, names: Names): string {
  switch (node.kind) {
    case 'word':
      return node.word;
    case 'rule':
      return `<${names.get(node.name) ?? node.name}>`;
    case 'sequence':
      return node.items.map((item) => write(item, names)).join(' ');
    case 'choice':
      return `(${writeChoice(node, names)})`;
    case 'optional':
      return `[${writeChoice(node.item, names)}]`;
    case 'repeat':
      return `(${writeChoice(node.item, names)})${node.atLeastOnce ? '+' : '*'}`;
    case 'tagged':
      return write(node.item, names);
    case 'null':
      return '<NULL>';
    case 'void':
      return '<VOID>';
  }
}
