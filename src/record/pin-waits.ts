import type { Ms } from '../units/time.ts';

/** Wrong PINs one after the other, and when the last was, in ms since 1970. */
export interface WrongPins {
  readonly count: number;
  readonly last: Ms;
}

/** How long is waited after so many wrong PINs: two slips cost nothing; then it doubles, up to a quarter of an hour. Our own figures. */
const FREE = 2;
const FIRST: Ms = 5_000;
const MOST: Ms = 900_000;

/** How long until the next PIN may be tried, in ms; 0 when now, and where the clock was set back. */
export function waitLeft(wrong: WrongPins | undefined, now: Ms): Ms {
  if (wrong === undefined || wrong.count <= FREE || now < wrong.last) return 0;
  const wait = Math.min(MOST, FIRST * 2 ** (wrong.count - FREE - 1));
  return Math.max(0, wrong.last + wait - now);
}
