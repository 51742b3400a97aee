import type { PressureUnit } from '../units/pressure.ts';
import { coverPairs } from './cover.ts';
import { network } from './parse.ts';
import type { Ruleset } from './ruleset.ts';
import { select } from './select.ts';
import type { Active } from './select.ts';
import type { Expansion, Grammar } from './syntax.ts';

/**
 * What engines need to listen for some rules (see `select`), in a check read in `unit`. Compiled once per grammar;
 * throws on an unknown rule.
 */
export function compile(grammar: Grammar, rules: readonly string[], unit: PressureUnit): Ruleset {
  const key = `ruleset ${unit} ${rules.join(' ')}`;
  const known = grammar.prepared.get(key) as Ruleset | undefined;
  if (known !== undefined) return known;
  const active = select(grammar, { rules, unit });
  const jsgf = writeJsgf(active);
  const ruleset: Ruleset = {
    id: `${rules.join('+')}:${unit}:${digest(jsgf)}`,
    rules,
    jsgf,
    words: wordsOf(active),
    phrases: coverPairs(network(grammar, { rules, unit })).map((words) => words.join(' ').replaceAll('_', ' ')),
  };
  grammar.prepared.set(key, ruleset);
  return ruleset;
}

function writeJsgf(active: Active): string {
  const names = safeNames(active.rules.keys());
  const lines = ['#JSGF V1.0;', 'grammar two_needles;', `public <active> = ${write(active.expansion, names)};`];
  for (const [name, expansion] of active.rules) lines.push(`<${names.get(name) ?? name}> = ${write(expansion, names)};`);
  return `${lines.join('\n')}\n`;
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

/** Without tags. Every group keeps its brackets, so that no precedence is left to the reader. */
function write(node: Expansion, names: ReadonlyMap<string, string>): string {
  switch (node.kind) {
    case 'word':
      return node.word;
    case 'rule':
      return `<${names.get(node.name) ?? node.name}>`;
    case 'sequence':
      return node.items.map((item) => write(item, names)).join(' ');
    case 'choice':
      return `(${node.items.map((each) => `${each.weight === undefined ? '' : `/${each.weight}/ `}${write(each.item, names)}`).join(' | ')})`;
    case 'optional':
      return `[${write(node.item, names)}]`;
    case 'repeat':
      return `(${write(node.item, names)})${node.atLeastOnce ? '+' : '*'}`;
    case 'tagged':
      return node.item.kind === 'sequence' ? `(${write(node.item, names)})` : write(node.item, names);
    case 'null':
      return '<NULL>';
    case 'void':
      return '<VOID>';
  }
}

function wordsOf(active: Active): readonly string[] {
  const words = new Set<string>();
  const walk = (node: Expansion): void => {
    if (node.kind === 'word') words.add(node.word);
    else if (node.kind === 'sequence') node.items.forEach(walk);
    else if (node.kind === 'choice') node.items.forEach((each) => walk(each.item));
    else if (node.kind === 'optional' || node.kind === 'repeat' || node.kind === 'tagged') walk(node.item);
  };
  for (const expansion of active.rules.values()) walk(expansion);
  return [...words].sort();
}

/** FNV-1a, 32 bits: only to tell rulesets apart. */
function digest(text: string): string {
  let hash = 0x811c9dc5;
  for (let at = 0; at < text.length; at++) hash = Math.imul(hash ^ text.charCodeAt(at), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}
