import type { Ruleset } from '../grammar/ruleset.ts';
import { SAMPLE_RATE, samplesToMs, type Ms } from '../units/time.ts';
import { NUMBER_WORDS } from './number-words.ts';
import type { Heard, Recogniser } from './port.ts';
import { createResampler } from './resampler.ts';

/** Words that may change a figure or a verdict: numbers, what an operator sees that should not be, and what is a phone or two from its opposite. */
const WEIGHTY = new Set([
  ...NUMBER_WORDS,
  ...'moved moving pulled pulls pulling left right never no not stayed held hold holds holding rolled straight on off'.split(
    ' ',
  ),
]);

/**
 * How much faster the same ear hears it again. A right word survives that, a wrong one often does not: of 300 readings as loud as a diesel
 * it heard 202 rightly at the speaker's pace and 212 so; sure by 0.85 of what it heard once it was wrong in 17, of what it heard alike at
 * both in 9.
 */
const FASTER = 1.07;

/**
 * From here on nothing is heard again, which half of what weighs is spared over a diesel 10 dB below: of 449 readings at 0 dB one more was
 * taken wrongly for it, of 750 with less noise none. Hearing again takes a tenth of a second of the answer.
 */
const SURE_AT_ONCE = 0.995;
/** Two of three that were taken so at 5 dB, of 292, were "sixty" for "fifty", between which lies the limit of the low-air warning. */
const NEVER_AT_ONCE = new Set(['fifty', 'sixty', 'fifteen', 'sixteen']);

/** Sure of a callout that weighs, the other engine need not be asked. */
const SURE = 0.85;

/**
 * The same for "sixteen" and its like, which are "sixty" to both engines now and then: of five readings over a diesel, 10 dB below, that were
 * taken wrongly, four were of that kind, none heard with more.
 */
const SURE_OF_TEENS = 0.93;
const TEENS = new Set(['thirteen', 'fourteen', 'fifteen', 'sixteen', 'seventeen', 'eighteen', 'nineteen']);

/** With less, what both engines say is not enough: they have been wrong together, on "sixty" and "sixteen". */
const LEAST = 0.7;

/**
 * It holds up the answers when it takes this part of the sound's length, so many times in a row, and is switched off. The embedded engine takes a
 * fifth where no other work is done, and hears an utterance as soon as it pauses.
 */
const SLOW_SHARE = 0.5;
const MOST_SLOW = 3;

type Ear = Pick<Recogniser, 'id' | 'setGrammar' | 'recognise'>;

/** Who hears again what weighs. */
export interface OtherEars {
  /** The ear that heard it, which hears it once more at another pace. Default: it does not. */
  readonly same?: Ear;
  /** Another engine. Default: there is none. */
  readonly other?: Ear;
}

export interface SecondOpinion {
  /** These rules are listened for from now on: they are made ready before anything is heard by them. */
  listenFor(ruleset: Ruleset): void;
  /** The utterance with what was made of it when it was heard again, where it weighs. */
  on(heard: Heard, ruleset: Ruleset): Promise<Heard>;
}

/**
 * What weighs is heard again: by the same ear, faster, and where that leaves it unsure by another engine. `now` is any clock in ms; `off`
 * is told in one line when one of them is switched off, because the device is too slow for it or it failed.
 */
export function createSecondOpinion(
  { same, other }: OtherEars,
  now: () => Ms,
  off: (line: string) => void,
): SecondOpinion {
  const again = same && listener(same, now, (why) => off(`Nothing is heard twice any more: ${why}. ${READ_BACKS}`));
  const second =
    other && listener(other, now, (why) => off(`The second opinion is switched off: ${why}. ${READ_BACKS}`));
  return {
    listenFor(ruleset) {
      again?.listenFor(ruleset);
      second?.listenFor(ruleset);
    },
    async on(heard, ruleset) {
      // What the speech around it makes doubtful is no surer for being heard again.
      if (heard.agreed === false || (!hearsItems(ruleset) && !hears(heard, WEIGHTY))) return heard;
      if (heard.confidence >= SURE_AT_ONCE && !hears(heard, NEVER_AT_ONCE)) return heard;
      // The other engine takes longest, and begins at once where it will probably be asked.
      const isTeen = hears(heard, TEENS);
      const begun =
        heard.confidence < SURE && heard.confidence >= LEAST && !isTeen ? second?.hear(heard.clip, ruleset) : undefined;
      const faster = await again?.hear(resampled(heard.clip, Math.round(FASTER * SAMPLE_RATE)), ruleset);
      if (faster !== undefined && !isAlike(faster, heard))
        return frameOf(heard) === frameOf(faster) && !hearsItems(ruleset)
          ? { ...inPlaceOf(heard, faster), second: told(heard), agreed: false }
          : { ...heard, second: told(faster), agreed: false };
      const confidence = Math.sqrt(heard.confidence * (faster?.confidence ?? heard.confidence));
      const weighed = { ...heard, confidence, ...(faster === undefined ? {} : { second: told(faster) }) };
      if (isTeen) return confidence >= SURE_OF_TEENS ? weighed : { ...weighed, agreed: false };
      if (confidence >= SURE) return weighed;
      if (confidence < LEAST) return { ...weighed, agreed: false };
      const opinion = await (begun ?? second?.hear(heard.clip, ruleset));
      if (opinion === undefined) return weighed;
      // It hears less in noise: where it heard no callout it has no opinion, and the first one's confidence counts.
      if (opinion.text === '') return { ...weighed, second: told(opinion) };
      return { ...weighed, second: told(opinion), agreed: isAlike(opinion, heard) };
    },
  };
}

const READ_BACKS = 'Read-backs matter all the more.';

interface Listener {
  listenFor(ruleset: Ruleset): void;
  /** Undefined where it is switched off. */
  hear(clip: Float32Array, ruleset: Ruleset): Promise<Heard | undefined>;
}

function listener(engine: Ear, now: () => Ms, off: (why: string) => void): Listener {
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
    if (isOn) off(why);
    isOn = false;
  };
  return {
    listenFor(ruleset) {
      // What is wrong with them is told when something is to be heard by them.
      if (isOn) inTurn(() => engine.setGrammar(ruleset)).catch(() => undefined);
    },
    async hear(clip, ruleset) {
      if (!isOn) return undefined;
      try {
        return await inTurn(async () => {
          const began = now();
          await engine.setGrammar(ruleset);
          const heard = await engine.recognise(clip, 0);
          slow = now() - began > SLOW_SHARE * samplesToMs(clip.length) ? slow + 1 : 0;
          if (slow >= MOST_SLOW) switchOff('this device is too slow for it');
          return heard;
        });
      } catch (error) {
        switchOff(error instanceof Error ? error.message.replace(/\.$/, '') : String(error));
        return undefined;
      }
    },
  };
}

function told({ text, confidence, engine }: Heard): NonNullable<Heard['second']> {
  return { heard: text, confidence, engine };
}

function resampled(samples: Float32Array, rate: number): Float32Array {
  const resampler = createResampler(rate);
  const [most, rest] = [resampler.push(samples), resampler.flush()];
  const whole = new Float32Array(most.length + rest.length);
  whole.set(most);
  whole.set(rest, most.length);
  return whole;
}

function isAlike(one: Heard, other: Heard): boolean {
  return spelledAlike(one.text) === spelledAlike(other.text);
}

function hears({ words }: Heard, any: ReadonlySet<string>): boolean {
  return words.some(({ text }) => any.has(text));
}

/** What was said but for the numbers. */
function frameOf({ text }: Heard): string {
  const words = spelledAlike(text).split(' ');
  return words
    .map((word) => (NUMBER_WORDS.has(word) ? '#' : word))
    .join(' ')
    .replaceAll(/#( #)+/g, '#');
}

/**
 * Of two numbers that are asked about, the one that was heard faster: it is the right one more often. The callout begins and ends where it
 * did.
 */
function inPlaceOf(heard: Heard, faster: Heard): Heard {
  const pace = (heard.end - heard.start) / Math.max(1, faster.end - faster.start);
  const at = (time: Ms): Ms => heard.start + (time - faster.start) * pace;
  const words = faster.words.map((word) => ({ ...word, start: at(word.start), end: at(word.end) }));
  return { ...heard, words, text: faster.text, confidence: faster.confidence };
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
