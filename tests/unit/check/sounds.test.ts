import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CheckEvent } from '../../../src/check/event.ts';
import { replay } from '../../../src/check/machine.ts';
import { wholeCheck } from '../record/logs.ts';

describe('a sound of the cab that was proposed', () => {
  it('decides nothing, wherever in a check it comes and whatever it may have been', () => {
    const events = wholeCheck();
    const without = replay(events);
    expect(without.verdict).toBe('pass');
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            place: fc.integer({ min: 1, max: events.length }),
            at: fc.integer({ min: 0, max: 2_000_000 }),
            kind: fc.constantFrom('steady-tone' as const, 'air-burst' as const),
          }),
          { minLength: 1, maxLength: 6 },
        ),
        (marks) => {
          const marked: CheckEvent[] = [...events];
          for (const { place, at, kind } of marks) marked.splice(place, 0, { type: 'sound', at, kind });
          expect(replay(marked)).toEqual(without);
        },
      ),
      { numRuns: 40 },
    );
  });
});
