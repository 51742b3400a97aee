import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openCab } from '../../../src/rehearsal/cab.ts';
import type { Movement } from '../../../src/rehearsal/hands.ts';
import type { Seat } from '../../../src/rehearsal/seat.ts';
import { moveHands, sitUntil, takeSeat } from '../../../src/rehearsal/seat.ts';
import { scenario } from './support/rehearse.ts';

const LADDER = scenario('ladder-36-leaking');
const sit = (): Seat => takeSeat(openCab(LADDER, LADDER.faults));

/** What was done, each at its time, understood at once. */
function atOnce(moves: readonly (readonly [at: number, movement: Movement])[], until: number): Seat {
  return sitUntil(
    moves.reduce((seat, [at, movement]) => moveHands(sitUntil(seat, at), movement, at), sit()),
    until,
  );
}

const START: Movement = { set: { ignition: true, engine: true } };

describe('the seat of the simulated cab', () => {
  it('lives a word at the time it was said, however long it took to be understood', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 3000 }), fc.integer({ min: 0, max: 3000 }), (delay, other) => {
        const moves = [
          [2000, START],
          [5000, { fan: true }],
        ] as const;
        const prompt = atOnce(moves, 20_000);
        let late = moveHands(sitUntil(sit(), 2000 + delay), START, 2000);
        late = moveHands(sitUntil(late, Math.max(5000 + other, late.cab.at)), { fan: true }, 5000);
        late = sitUntil(late, 20_000);
        expect(late.cab.air).toEqual(prompt.cab.air);
        expect(late.cab.trace).toEqual(prompt.cab.trace);
        expect(late.cab.happened).toEqual(prompt.cab.happened);
      }),
      { numRuns: 12 },
    );
  });

  it('is the same after a long sleep as after a thousand pictures', () => {
    const slept = atOnce([[1000, START]], 60_000);
    let awake = moveHands(sitUntil(sit(), 1000), START, 1000);
    for (let at = 1016; at < 60_000; at += 67) awake = sitUntil(awake, at);
    awake = sitUntil(awake, 60_000);
    expect(awake.cab.air).toEqual(slept.cab.air);
    expect(awake.cab.trace).toEqual(slept.cab.trace);
  });

  it('keeps what hands did between a word and its being understood', () => {
    let seat = moveHands(sitUntil(sit(), 1000), { set: { ignition: true } }, 1000);
    seat = moveHands(sitUntil(seat, 4000), { set: { pedalPsi: 80 } }, 4000);
    seat = moveHands(sitUntil(seat, 5000), START, 3000);
    expect(seat.cab.at).toBe(5000);
    expect(seat.cab.hands.map(({ at, controls }) => [at, controls.engine, controls.pedalPsi])).toEqual([
      [0, false, 0],
      [1000, false, 0],
      [3000, true, 0],
      [4000, true, 80],
    ]);
  });

  it('does not go back further than the last seconds', () => {
    const seat = moveHands(sitUntil(sit(), 60_000), START, 1000);
    const [, started] = seat.cab.hands;
    expect(started?.controls.engine).toBe(true);
    expect(started?.at).toBeGreaterThan(50_000);
  });
});
