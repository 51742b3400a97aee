import { acceptorOf, type AcceptorState } from '../grammar/acceptor.ts';
import type { Ruleset } from '../grammar/ruleset.ts';
import type { Ms } from '../units/time.ts';

/** Silence after which a sentence counts as ended, in ms, by what may still come. */
const NOTHING_MORE: Ms = 250;
const A_NUMBER_MAY_GO_ON: Ms = 400;
const SOMETHING_LACKS: Ms = 900;
/** The same for people who pause longer between the needles. */
const SOMETHING_LACKS_SLOWLY: Ms = 1_600;

const CIRCUITS = ['primary', 'secondary'] as const;
const NUMBERS = new Set(
  'oh zero one two three four five six seven eight nine niner ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred'.split(
    ' ',
  ),
);

/**
 * How long a silence has to be for these words to be all of an utterance: short where the grammar has no more for them that counts,
 * longer where a number could go on ("one twenty" … "five"), and longest where something lacks: the sentence is not complete, or one
 * needle was called and not the other. Words that are no sentence of the ruleset wait as a number does.
 */
export type SilenceAfter = (words: readonly string[]) => Ms;

export function silenceAfter(ruleset: Pick<Ruleset, 'jsgf'>, slowSpeaker = false): SilenceAfter {
  const states = acceptorOf(ruleset, () => true) ?? [];
  return (words) => {
    let state: AcceptorState | undefined = states[0];
    for (const word of words) {
      const to = state?.next.get(word);
      state = to === undefined ? undefined : states[to];
    }
    if (state === undefined) return A_NUMBER_MAY_GO_ON;
    const [one, other] = CIRCUITS.map((circuit) => words.includes(circuit));
    if (!state.isFinal || one !== other) return slowSpeaker ? SOMETHING_LACKS_SLOWLY : SOMETHING_LACKS;
    const goesOn = [...state.next.keys()].some((word) => NUMBERS.has(word));
    return goesOn ? A_NUMBER_MAY_GO_ON : NOTHING_MORE;
  };
}
