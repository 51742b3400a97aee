import type { Ruleset } from '../../grammar/ruleset.ts';

/** The engine's word for speech that is none of the phrases. */
export const UNKNOWN = '[unk]';

/**
 * A ruleset as the engine takes it: a JSON list of phrases. The engine makes word pairs of them, so that the list limits the
 * words and which may follow which, not whole sentences; wrong orders are left to the grammar's own parser. Without `[unk]`
 * all speech would be forced into the listed words.
 */
export function phraseList(ruleset: Ruleset): string {
  return JSON.stringify([...ruleset.phrases, UNKNOWN]);
}
