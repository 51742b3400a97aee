import type { PressureUnit } from '../units/pressure.ts';
import { coverPairs } from './cover.ts';
import type { Ruleset } from './ruleset.ts';
import { select } from './select.ts';
import type { Active } from './select.ts';
import type { Expansion, Grammar } from './syntax.ts';
import { writeJsgf } from './write-jsgf.ts';

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
    phrases: coverPairs(active).map((phrase) => phrase.replaceAll('_', ' ')),
  };
  grammar.prepared.set(key, ruleset);
  return ruleset;
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
