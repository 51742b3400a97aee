/**
 * What an engine is asked to listen for: some rules of the grammar, compiled to each engine's own form.
 * Two rulesets with equal `id` are equal.
 */
export interface Ruleset {
  readonly id: string;
  /** Names of the grammar rules that are active. */
  readonly rules: readonly string[];
  /** A self-contained JSGF grammar whose public rule is `<active>`, without tags or imports, for engines that compile JSGF. */
  readonly jsgf: string;
  /** The closed list of words that the rules use, sorted. */
  readonly words: readonly string[];
  /** Phrases (not every sentence) that cover the rules' words and word pairs, for engines that take a phrase list. */
  readonly phrases: readonly string[];
}
