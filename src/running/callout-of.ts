import type { CalloutEvent } from '../check/event.ts';
import type { Heard } from '../hearing/port.ts';
import type { PressureUnit } from '../units/pressure.ts';
import type { Language } from './language.ts';

/** What was heard or read, on the clock of the check. */
export type Said = Pick<Heard, 'start' | 'end' | 'text' | 'confidence'> &
  Partial<Pick<Heard, 'engine' | 'rejected' | 'second' | 'agreed'>> & { readonly source: CalloutEvent['source'] };

/**
 * The callout that words amount to, by the rules that listened for them: the one way from an ear, a recording or a
 * transcript into a check. Words that were rejected, or that mean nothing, are a callout without a meaning.
 */
export function calloutOf(
  { start, end, text, confidence, engine, rejected, second, agreed, source }: Said,
  rules: readonly string[],
  unit: PressureUnit,
  language: Pick<Language, 'parse'>,
): CalloutEvent {
  const meaning = rejected === true ? undefined : language.parse(rules, text, unit);
  return {
    type: 'callout',
    at: start,
    end,
    heard: text,
    confidence,
    source,
    ...(engine === undefined ? {} : { engine }),
    ...(second === undefined ? {} : { second }),
    ...(agreed === undefined ? {} : { agreed }),
    ...(meaning === undefined ? {} : { meaning }),
  };
}
