import type { Ruleset } from '../grammar/ruleset.ts';
import { samplesToMs, type Ms } from '../units/time.ts';
import type { Heard, Recogniser } from './port.ts';

/** Words that may change a figure or a verdict: numbers, what an operator sees that should not be, and what is a phone or two from its opposite. */
const WEIGHTY = new Set(
  'oh zero one two three four five six seven eight nine niner ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred moved moving pulled pulls pulling left right never no not stayed held hold holds holding rolled straight on off'.split(
    ' ',
  ),
);

/**
 * Heard with less confidence than this, a callout that weighs is taken only where both engines say the same. With 0.95 as the point, our
 * model and the embedded engine together were wrong in 0.2 to 0.6 % of what was said at any noise level (the model's card).
 */
const SURE = 0.95;

/** Slower than the sound itself so many times in a row, it holds up the answers and is switched off. */
const MOST_SLOW = 3;

export interface SecondOpinion {
  /** These rules are listened for from now on: they are made ready before anything is heard by them. */
  listenFor(ruleset: Ruleset): void;
  /** The utterance with what the other engine made of it, where it weighs and the first one is not sure. */
  on(heard: Heard, ruleset: Ruleset): Promise<Heard>;
}

/**
 * Another engine hears the same sound again. `now` is any clock in ms; `off` is told in one line when it is switched off, because the
 * device is too slow for it or it failed.
 */
export function createSecondOpinion(
  engine: Pick<Recogniser, 'id' | 'setGrammar' | 'recognise'>,
  now: () => Ms,
  off: (line: string) => void,
): SecondOpinion {
  let isOn = true;
  let slow = 0;
  let work: Promise<unknown> = Promise.resolve();
  /** The engine has one set of rules at a time: what is heard by some is done before it is given others. */
  const inTurn = <T>(step: () => Promise<T>): Promise<T> => {
    const done = work.then(step);
    work = done.catch(() => undefined);
    return done;
  };
  const switchOff = (why: string): void => {
    isOn = false;
    off(`The second opinion is switched off: ${why}. Read-backs matter all the more.`);
  };
  return {
    listenFor(ruleset) {
      // What is wrong with them is told when something is to be heard by them.
      if (isOn) inTurn(() => engine.setGrammar(ruleset)).catch(() => undefined);
    },
    async on(heard, ruleset) {
      const weighs = hearsItems(ruleset) || heard.words.some(({ text }) => WEIGHTY.has(text));
      if (!isOn || !weighs || heard.confidence >= SURE) return heard;
      let began = now();
      try {
        const { text, confidence } = await inTurn(async () => {
          began = now();
          await engine.setGrammar(ruleset);
          return engine.recognise(heard.clip, 0);
        });
        slow = now() - began > samplesToMs(heard.clip.length) ? slow + 1 : 0;
        if (slow >= MOST_SLOW) switchOff('this device is too slow for it');
        const second = { heard: text, confidence, engine: engine.id };
        // It hears less in noise: where it heard no callout it has no opinion, and the first one's confidence counts.
        if (text === '') return { ...heard, second };
        return { ...heard, second, agreed: spelledAlike(text) === spelledAlike(heard.text) };
      } catch (error) {
        switchOff(error instanceof Error ? error.message.replace(/\.$/, '') : String(error));
        return heard;
      }
    },
  };
}

/** Where items are listened for, each callout passes one or finds one bad, and an ear that lost a “not” has no word left that tells of it. */
function hearsItems({ rules }: Ruleset): boolean {
  return rules.some((rule) => rule.startsWith('items'));
}

/** Other words for the same number, and words that carry nothing, do not make a difference. */
function spelledAlike(text: string): string {
  return text
    .replaceAll(/\boh\b/g, 'zero')
    .replaceAll(/\bniner\b/g, 'nine')
    .replaceAll(/\b(and|at|is|are|has|have|p_s_i|p s i|psi|pounds)\b/g, ' ')
    .trim()
    .replaceAll(/ +/g, ' ');
}
