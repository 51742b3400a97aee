import type { AirState } from '../airsystem/air.ts';
import type { Ms } from '../units/time.ts';
import type { Cab } from './cab.ts';
import { rewindCab, runCab } from './cab.ts';
import type { HandsNow, Move, Movement } from './hands.ts';
import { handsAt } from './hands.ts';

/** The simulated cab with the hands of the trainee in it, in real time. Plain data. */
export interface Seat {
  readonly cab: Cab;
  /** In order of time. */
  readonly moves: readonly Move[];
  /** Moments of the last seconds to which the cab can go back; the oldest first, never empty. */
  readonly marks: readonly Mark[];
}

interface Mark {
  readonly at: Ms;
  readonly air: AirState;
}

/** Words are heard a second or two after they were said; further back nothing is changed. */
const REACH_BACK: Ms = 8_000;
const MARK_EVERY: Ms = 500;

export function takeSeat(cab: Cab): Seat {
  return { cab, moves: [], marks: [{ at: cab.at, air: cab.air }] };
}

/** The seat at `to` ms, not before now: everything that the hands do on the way is done in its time, however long it is. */
export function sitUntil(seat: Seat, to: Ms): Seat {
  let { cab } = seat;
  const marks = [...seat.marks];
  while (cab.at < to) {
    const { controls, until } = handsAt(seat.moves, cab.at);
    const mark = (marks.at(-1)?.at ?? 0) + MARK_EVERY;
    cab = runCab(cab, controls, Math.min(to, until, Math.max(mark, cab.at + 1)));
    if (cab.at >= mark) marks.push({ at: cab.at, air: cab.air });
  }
  const reach = marks.findLastIndex(({ at }) => at <= to - REACH_BACK);
  return { ...seat, cab, marks: marks.slice(Math.max(0, reach)) };
}

/**
 * Moves the controls at `at`. When that is over already (words are understood only after they were said) the cab goes back and lives the
 * time since then again, so that the needles follow the words and not the time it took to understand them.
 */
export function moveHands(seat: Seat, movement: Movement, at: Ms): Seat {
  const now = seat.cab.at;
  if (at > now) return moveHands(sitUntil(seat, at), movement, at);
  const when = Math.max(at, seat.marks[0]?.at ?? 0);
  const after = seat.moves.findIndex((move) => move.at > when);
  const place = after === -1 ? seat.moves.length : after;
  const moves = [...seat.moves.slice(0, place), { ...movement, at: when }, ...seat.moves.slice(place)];
  const marks = seat.marks.filter((mark) => mark.at <= when);
  const mark = marks.at(-1);
  if (mark === undefined || when === now) return { ...seat, moves };
  return sitUntil({ cab: rewindCab(seat.cab, mark.at, mark.air), moves, marks }, now);
}

/** The hands as they are now. */
export function handsNow({ moves, cab }: Seat): HandsNow {
  return handsAt(moves, cab.at);
}
