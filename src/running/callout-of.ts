import type { CalloutEvent } from '../check/event.ts';
import type { Command, Meaning } from '../grammar/meaning.ts';
import type { Heard } from '../hearing/port.ts';
import type { PressureUnit } from '../units/pressure.ts';
import type { Language } from './language.ts';
import { isAllBad } from './all-bad.ts';
import { tellsOfTrouble } from '../items/trouble.ts';

/** What was heard or read, on the clock of the check. */
export type Said = Pick<Heard, 'start' | 'end' | 'text' | 'confidence'> &
  Partial<Pick<Heard, 'engine' | 'rejected' | 'second' | 'agreed'>> & {
    readonly source: CalloutEvent['source'];
  } & Pick<CalloutEvent, 'voice'>;

/**
 * Words that are no needles cannot be asked about, and other speech in noise turns into a short command first. Below these confidences of
 * our model they are heard, but mean nothing. At 5 dB of diesel 45 of 46 cues and commands that were heard rightly had 0.8 and more, and
 * "skip" out of another word 0.48.
 */
const LEAST_CUE = 0.55;
const LEAST_COMMAND = 0.8;
/** Commands that do nothing unless something was asked. */
const ANSWERS = new Set<Command | undefined>(['yes', 'no']);

function isOverheard(
  { reading, command }: Meaning,
  confidence: number,
  engine: Said['engine'],
  source: Said['source'],
): boolean {
  if (source !== 'voice' || engine !== 'vosk' || reading !== undefined) return false;
  return confidence < (command === undefined || ANSWERS.has(command) ? LEAST_CUE : LEAST_COMMAND);
}

/**
 * True for cues that the other ear heard as other cues: “held” and “rolled”, “on” and “off” are a phone or two apart, and no air tells which
 * was said. They have to be said again, unless they tell of nothing but what went wrong.
 */
function isContested(
  meaning: Meaning,
  { agreed, second }: Said,
  parsed: (text: string) => Meaning | undefined,
): boolean {
  // Needles are asked about instead.
  if (agreed !== false || second === undefined || meaning.reading !== undefined || meaning.cues.length === 0)
    return false;
  const other = isAllBad(meaning) ? undefined : parsed(second.heard);
  return other !== undefined && other.cues.join(' ') !== meaning.cues.join(' ');
}

/**
 * The callout that words amount to, by the rules that listened for them: the one way from an ear, a recording or a
 * transcript into a check. Words that were rejected, or that mean nothing, are a callout without a meaning.
 */
export function calloutOf(
  said: Said,
  rules: readonly string[],
  unit: PressureUnit,
  language: Pick<Language, 'parse'>,
): CalloutEvent {
  const { start, end, text, confidence, engine, rejected, second, agreed, source, voice } = said;
  const parsed = (words: string): Meaning | undefined => language.parse(rules, words, unit);
  const meant = rejected === true || voice !== undefined ? undefined : parsed(text);
  const counts =
    meant !== undefined && !isOverheard(meant, confidence, engine, source) && !isContested(meant, said, parsed);
  const meaning = counts ? meant : undefined;
  return {
    type: 'callout',
    at: start,
    end,
    heard: text,
    confidence,
    source,
    ...(voice === undefined ? {} : { voice }),
    ...(engine === undefined ? {} : { engine }),
    ...(second === undefined ? {} : { second }),
    ...(agreed === undefined ? {} : { agreed }),
    ...(meaning === undefined ? {} : { meaning }),
  };
}

/** What another voice says that leaves everything as it is. Everyday words; common practice, no source. */
const IDLE = new Set([
  ...[
    'okay',
    'ok',
    'yes',
    'yep',
    'yeah',
    'yup',
    'good',
    'fine',
    'great',
    'sure',
    'clear',
    'roger',
    'copy',
    'ready',
    'set',
  ],
  ...[
    'all',
    'both',
    'sides',
    'go',
    'ahead',
    'got',
    'it',
    'that',
    'them',
    'is',
    'are',
    'on',
    'working',
    'works',
    'work',
  ],
  ...[
    'thanks',
    'thank',
    'you',
    'sir',
    'cap',
    'captain',
    'chief',
    'hello',
    'hi',
    'hey',
    'morning',
    'coming',
    'standing',
    'by',
  ],
]);

/**
 * True for what another voice said that must not be passed over: whatever is neither an everyday yes nor a callout of something good. A
 * helper's “one marker is dark” or “nope” means nothing to the grammar, and may still be why nothing must pass.
 */
export function countsOfAnother(
  { text }: Said,
  rules: readonly string[],
  unit: PressureUnit,
  language: Pick<Language, 'parse'>,
): boolean {
  if (tellsOfTrouble(text)) return true;
  const meant = language.parse(rules, text, unit);
  if (meant !== undefined) return isAllBad(meant) || meant.command === 'no' || meant.command === 'correction';
  const words = text.toLowerCase().match(/[a-z]+/g) ?? [];
  return words.some((word) => !IDLE.has(word));
}
