import type { PressureUnit } from '../units/pressure.ts';
import { coverPairs } from './cover.ts';
import type { Ruleset } from './ruleset.ts';
import { prepare, select } from './select.ts';
import type { Active } from './select.ts';
import type { Expansion, Grammar, Selection } from './syntax.ts';
import { partsOf } from './syntax.ts';
import { writeJsgf } from './write-jsgf.ts';

/**
 * What engines need to listen for some rules (see `select`), in a check read in `unit`. `words` are those of the JSGF,
 * some of them only in `PRONUNCIATIONS`; `phrases` spell these out ("p s i" for `p_s_i`), for engines with a vocabulary
 * of their own. Compiled once per grammar; throws on an unknown rule.
 */
export function compile(grammar: Grammar, rules: readonly string[], unit: PressureUnit): Ruleset {
  const selection: Selection = { rules, unit };
  return prepare(grammar, 'ruleset', selection, () => {
    const active = select(grammar, selection);
    const jsgf = writeJsgf(active);
    return {
      id: `${rules.join('+')}:${unit}:${digest(jsgf)}`,
      rules,
      jsgf,
      words: wordsOf(active),
      phrases: coverPairs(active).map((phrase) => phrase.replaceAll('_', ' ')),
    };
  });
}

/** The words that some rules use, as `compile` has them, without the rest of what engines need. */
export function wordsIn(grammar: Grammar, rules: readonly string[], unit: PressureUnit): readonly string[] {
  return wordsOf(select(grammar, { rules, unit }));
}

function wordsOf(active: Active): readonly string[] {
  const words = new Set<string>();
  const walk = (node: Expansion): void => {
    if (node.kind === 'word') words.add(node.word);
    partsOf(node).forEach(walk);
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
