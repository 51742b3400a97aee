import type { Problem } from '../units/outcome.ts';
import type { Refused, Why } from './place.ts';

/** How the shelf has behaved lately, and when it may be asked again. Times are ms on the device's steady clock. */
export interface Pacing {
  /** Refusals in a row. */
  readonly failures: number;
  readonly notBefore: number;
  readonly trouble?: Trouble;
}

interface Trouble {
  readonly why: Why;
  readonly problem: Problem;
}

export const AT_EASE: Pacing = { failures: 0, notBefore: 0 };

/** Waiting doubles from the first to the last, in ms: a store that comes back is not run over by all tablets at once. */
const FIRST = 5_000;
const LONGEST = 60 * 60_000;
/** What people have to mend is asked again no sooner than this, in ms. */
const FOR_PEOPLE = 10 * 60_000;
/** Never longer than a day, whatever the store asks for, in ms. */
const MOST_ASKED = 24 * 60 * 60_000;

/** Longest that a wait may be after so many refusals in a row, in ms. */
function ceiling(failures: number, why: Why): number {
  const doubled = FIRST * 2 ** Math.min(failures - 1, 20);
  const waits = why === 'offline' || why === 'busy';
  return Math.min(LONGEST, waits ? doubled : Math.max(FOR_PEOPLE, doubled));
}

/** After a refusal: waits between half and all of a time that doubles, by `random` from 0 up to 1; or as long as the shelf asked for. */
export function slower(before: Pacing, refused: Refused, now: number, random: () => number): Pacing {
  const { why, problem, after = 0 } = refused;
  const failures = before.failures + 1;
  const wait = ceiling(failures, why) * (0.5 + random() / 2);
  return { failures, notBefore: now + Math.max(wait, Math.min(after, MOST_ASKED)), trouble: { why, problem } };
}
