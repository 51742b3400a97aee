import type { StartEvent } from '../check/event.ts';
import type { TalkLevel } from '../answering/level.ts';
import { word, wordCaution } from '../answering/wording.ts';
import type { Answer } from '../check/answer.ts';
import type { Grammar } from '../grammar/syntax.ts';
import type { Pace } from '../rehearsal/synthetic-operator.ts';
import type { Ms } from '../units/time.ts';
import { languageOf } from './language.ts';
import { beginRun, passTime, take } from './check-run.ts';

/** From the end of the operator's words to the beginning of the answer, and from its end to the operator's next words, in ms. */
const ANSWER_AFTER = 900;
const SPEAK_AFTER = 600;

/** The embedded voice's clips: a margin each, and the speed of the voice; on the long side. */
const MS_PER_PHRASE = 260;
const MS_PER_CHARACTER = 64;

/** Time for the tool to call for the needles at the end of a hold, and for the operator to begin, in ms. */
export const LIVE_AFTER_HOLD: Ms = 4500;

/**
 * The pace of an operator who lets the tool finish. What it answers, and so how long
 * each pause has to be, comes from a check that is run along. `level` is how much it says.
 */
export function livePace(start: StartEvent, grammar: Grammar, level: TalkLevel): Omit<Pace, 'speechLength'> {
  const language = languageOf(grammar);
  let run = beginRun(start);
  return {
    lead: spokenLength(run.answers, level) + SPEAK_AFTER,
    pause: ANSWER_AFTER + SPEAK_AFTER,
    answerLength({ at, end, text }) {
      run = passTime(run, at);
      run = take(run, { start: at, end, text, confidence: 1, source: 'voice' }, language);
      return spokenLength(run.answers, level);
    },
  };
}

/** How long the embedded voice speaks, in ms. */
function spokenLength(answers: readonly Answer[], level: TalkLevel): Ms {
  return answers
    .flatMap((answer) => [...word(answer, level), ...wordCaution(answer)])
    .reduce((sum, phrase) => sum + MS_PER_PHRASE + phrase.length * MS_PER_CHARACTER, 0);
}
