import type { Ruleset } from '../../grammar/ruleset.ts';

/** What the engine is to listen for. */
export interface Listening {
  /** A JSON list of phrases, for models that cannot be held to whole sentences. */
  readonly phrases: string;
  /** The ruleset as JSGF, for models that can. Default: the phrases alone. */
  readonly sentences?: string;
  /** One sentence after another, with other speech between them, instead of one alone. */
  readonly running?: boolean;
}

/** The engine's word for speech that is none of the phrases. */
export const UNKNOWN = '[unk]';

export function listeningFor(ruleset: Ruleset, running = false): Listening {
  return { phrases: phraseList(ruleset), sentences: ruleset.jsgf, running };
}

/**
 * A ruleset as the engine itself takes it: a JSON list of phrases. The engine makes word pairs of them, so that the list limits the
 * words and which may follow which, not whole sentences; wrong orders are left to the grammar's own parser. Without `[unk]`
 * all speech would be forced into the listed words.
 */
function phraseList(ruleset: Ruleset): string {
  return JSON.stringify([...ruleset.phrases, UNKNOWN]);
}
