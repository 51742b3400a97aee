import type { SpokenReading } from '../grammar/meaning.ts';
import { pressureIn, type Pressure } from '../units/pressure.ts';
import { without } from '../units/without.ts';
import type { CalloutEvent } from './event.ts';
import type { CheckState } from './state.ts';

/**
 * "No, one one six": the callout with the needle that this is of, among those that are asked about, half called or taken last; undefined when
 * there are none. A callout without such a number is as it was. Where the two needles differ it is the nearer one, and the callout is one that
 * is asked about, whatever it was heard with.
 */
export function ofNeedle(state: CheckState, event: CalloutEvent): CalloutEvent | undefined {
  const { meaning } = event;
  if (meaning?.number === undefined) return event;
  const { number } = meaning;
  const before = state.pending?.reading ?? state.progress.half?.reading ?? state.needles;
  const said = { ...without(meaning, 'number'), reading: readingOf(number, before) };
  if (before === undefined) return undefined;
  return isPlain(before) ? { ...event, meaning: said } : { ...event, meaning: said, source: 'voice', agreed: false };
}

/** One needle, or two that stood alike. */
function isPlain({ primary, secondary }: SpokenReading): boolean {
  return primary === undefined || secondary === undefined || psi(primary) === psi(secondary);
}

function readingOf(number: Pressure, { primary, secondary }: SpokenReading = {}): SpokenReading {
  if (primary === undefined) return { secondary: number };
  if (secondary === undefined) return { primary: number };
  const [first, second] = [primary, secondary].map((each) => Math.abs(psi(each) - psi(number)));
  if (psi(primary) === psi(secondary)) return { primary: number, secondary: number };
  return (first ?? 0) < (second ?? 0) ? { primary: number } : { secondary: number };
}

function psi(pressure: Pressure): number {
  return pressureIn(pressure, 'psi');
}
