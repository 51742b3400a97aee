import type { Answer } from '../check/answer.ts';
import type { Plan } from '../check/plan.ts';

/** A short fixed piece of speech: a word, a number or a whole sentence. The closed list of a plan is `fixedPhrases`. */
export type Phrase = string;

export interface WordingSettings {
  /** Says only what has to be said: no briefs of steps, no acknowledgements of cues. */
  readonly terse: boolean;
}

/** An answer in words; empty when nothing is to be said. */
export function word(answer: Answer, settings: WordingSettings): Phrase[] {
  throw new Error(`not yet: ${answer.type} ${String(settings.terse)}`);
}

/** The phrases as running text, for captions and for speech engines. */
export function textOf(phrases: readonly Phrase[]): string {
  return phrases.join(' ');
}

/** Every phrase that `word` can give for answers of these plans, so that they can be made in advance. */
export function fixedPhrases(plans: readonly Plan[]): Phrase[] {
  throw new Error(`not yet: ${String(plans.length)}`);
}
