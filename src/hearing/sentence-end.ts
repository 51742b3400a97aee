import { acceptorOf, type AcceptorState } from '../grammar/acceptor.ts';
import type { Ruleset } from '../grammar/ruleset.ts';
import type { Ms } from '../units/time.ts';
import { NUMBER_WORDS as NUMBERS } from './number-words.ts';
import type { Word } from './port.ts';

/** Silence after which a sentence counts as ended, in ms, by what may still come. */
const NOTHING_MORE: Ms = 250;
const A_NUMBER_MAY_GO_ON: Ms = 400;
const SOMETHING_LACKS: Ms = 900;
/** The same for people who pause longer between the needles. */
const SOMETHING_LACKS_SLOWLY: Ms = 1_600;

/** With these, where they begin no callout of their own, the rest of a sentence may say the opposite of its beginning: "low air buzzer … did not sound". */
const DENIES = new Set("not never is was did does has isn't wasn't didn't doesn't hasn't won't failed".split(' '));

const CIRCUITS = ['primary', 'secondary'] as const;

/** Silence that parts a callout from what cannot belong to it, in ms: another callout, or other speech. */
const ANOTHER_CALLOUT: Ms = 150;
export const OTHER_SPEECH: Ms = 250;

/** What the sentences of a ruleset say of words that come one after another. */
export interface Sentences {
  /**
   * How long a silence has to be for the utterance that the last of these words belongs to to be over, in ms: short where the grammar
   * has no more for it that counts, longer where a number could go on ("one twenty" … "five"), and longest where something lacks: the
   * sentence is not complete, or one needle was called and not the other. Words that are no sentence wait as a number does.
   */
  silence(words: readonly string[]): Ms;
  /** Index of the first word of each utterance, as words and the silences between them tell. */
  beginnings(words: readonly Word[]): readonly number[];
  /** The words are a sentence. */
  has(words: readonly string[]): boolean;
}

/** `slowSpeaker` waits longer for what lacks. */
export function sentencesOf(ruleset: Pick<Ruleset, 'jsgf'>, slowSpeaker = false): Sentences {
  const states = acceptorOf(ruleset, () => true) ?? [];
  const known = new Set(states.flatMap(({ next }) => [...next.keys()]));
  const step = (state: AcceptorState | undefined, word: string): AcceptorState | undefined => {
    const to = state?.next.get(word);
    return to === undefined ? undefined : states[to];
  };
  const after = (words: readonly string[]): AcceptorState | undefined =>
    words.reduce<AcceptorState | undefined>(step, states[0]);

  const begins = (word: string): boolean => states[0]?.next.has(word) === true;

  const silenceOf = (words: readonly string[], state: AcceptorState | undefined): Ms => {
    if (state === undefined) return A_NUMBER_MAY_GO_ON;
    const [one, other] = CIRCUITS.map((circuit) => words.includes(circuit));
    if (!state.isFinal || one !== other) return slowSpeaker ? SOMETHING_LACKS_SLOWLY : SOMETHING_LACKS;
    const goesOn = [...state.next.keys()].some((word) => NUMBERS.has(word) || (DENIES.has(word) && !begins(word)));
    return goesOn ? A_NUMBER_MAY_GO_ON : NOTHING_MORE;
  };

  return {
    silence(words) {
      // Without times, a word that cannot go on the sentence begins another one.
      let from = 0;
      let state = states[0];
      words.forEach((word, at) => {
        const next = step(state, word);
        if (next === undefined) from = at;
        state = next ?? step(states[0], word);
      });
      return silenceOf(words.slice(from), state);
    },
    beginnings(words) {
      const found: number[] = [];
      let said: string[] = [];
      let state: AcceptorState | undefined;
      words.forEach(({ text, start }, at) => {
        const before = words[at - 1];
        const next = step(state, text);
        const isOther = !known.has(text) || !known.has(before?.text ?? '');
        const parts = next !== undefined ? silenceOf(said, state) : isOther ? OTHER_SPEECH : ANOTHER_CALLOUT;
        if (before === undefined || start - before.end >= parts) {
          found.push(at);
          said = [text];
          state = step(states[0], text);
        } else {
          said.push(text);
          state = next;
        }
      });
      return found;
    },
    has: (words) => after(words)?.isFinal === true,
  };
}
