import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buildWindow } from '../../../src/check/build-window.ts';
import { isAdverse } from '../../../src/check/cab.ts';
import { nextDeadline } from '../../../src/check/deadline.ts';
import type { CheckEvent, StartEvent } from '../../../src/check/event.ts';
import { listensFor } from '../../../src/check/listens-for.ts';
import { advance, replay, startCheck } from '../../../src/check/machine.ts';
import type { Step } from '../../../src/check/plan.ts';
import type { CheckState, StepRecord } from '../../../src/check/state.ts';
import { view } from '../../../src/check/view.ts';
import type { SpokenReading } from '../../../src/grammar/meaning.ts';
import { anyEvents } from './support/arbitrary.ts';
import { FULL, only, startOf, TENDER_34 } from './support/say.ts';

const starts: fc.Arbitrary<StartEvent> = fc
  .record({
    plan: fc.oneof(
      fc.constant(FULL),
      fc
        .subarray(
          FULL.steps.map(({ id }) => id),
          { minLength: 1, maxLength: 4 },
        )
        .map((ids) => only(...ids)),
    ),
    asking: fc.constantFrom('ask' as const, 'assume' as const),
    rig: fc.constantFrom(startOf().rig, TENDER_34),
  })
  .map(startOf);

function run(start: StartEvent, events: readonly CheckEvent[]): CheckState[] {
  const states = [startCheck(start).state];
  for (const event of events) {
    const last = states.at(-1);
    if (last !== undefined) states.push(advance(last, event).state);
  }
  return states;
}

/** What a verdict of the step has to rest on. */
function isFounded(step: Step, { progress }: StepRecord): boolean {
  const whole = progress.readings.filter(({ primary, secondary }) => primary !== undefined && secondary !== undefined);
  switch (step.kind) {
    case 'reading':
    case 'event':
      return whole.length === 1 && (step.kind === 'reading' || progress.outcome !== undefined);
    case 'hold': {
      const [first, second] = whole;
      // Needles within the hold that are over its limit already, or needles from 3 s before its end.
      if (progress.over === true) return first !== undefined && (progress.within?.length ?? 0) > 0;
      return (
        first !== undefined && second !== undefined && second.start >= first.end + ((step.holdSeconds ?? 0) - 3) * 1000
      );
    }
    case 'build': {
      const { lower, upper } = buildWindow(step, progress.readings);
      return lower !== undefined && upper !== undefined;
    }
    case 'observe':
      return progress.outcome !== undefined;
    case 'confirm':
      return step.cues.every((cue) => progress.cues.includes(cue));
    // The plans tried here have none.
    case 'items':
      return false;
  }
}

function sameNeedles(one: SpokenReading, other: SpokenReading): boolean {
  return (['primary', 'secondary'] as const).every((circuit) => isDeepStrictEqual(one[circuit], other[circuit]));
}

/** Patience on a busy machine, ms. */
const SLOW = 600_000;

describe('whatever happens, in whatever order', () => {
  it(
    'nothing throws, and no verdict is without what it has to rest on',
    () => {
      fc.assert(
        fc.property(starts, anyEvents, (start, events) => {
          for (const state of run(start, [...events, { type: 'end', at: 4_000_000 }])) {
            view(state);
            listensFor(state);
            nextDeadline(state);
            const unfounded = state.records.filter((record, index) => {
              const step = start.plan.steps[index];
              if (step === undefined || record.index !== index) return true;
              return record.outcome === 'judged' ? !isFounded(step, record) : record.result.verdict !== 'not judged';
            });
            if (unfounded.length > 0) expect(unfounded).toEqual([]);
          }
        }),
        { numRuns: 250 },
      );
    },
    SLOW,
  );

  it(
    'the log gives the same state again, through JSON and back, and states are plain data',
    () => {
      fc.assert(
        fc.property(starts, anyEvents, (start, events) => {
          const live = run(start, events).at(-1);
          const again = replay(JSON.parse(JSON.stringify([start, ...events])) as CheckEvent[]);
          // The slow comparison only to show the difference.
          if (!isDeepStrictEqual(again, live)) expect(again).toEqual(live);
          if (!isDeepStrictEqual(structuredClone(live), live)) expect(structuredClone(live)).toEqual(live);
        }),
        { numRuns: 150 },
      );
    },
    SLOW,
  );

  it(
    'a reading that fails a step was asked about, in that step, before it failed it',
    () => {
      fc.assert(
        fc.property(starts, anyEvents, (start, events) => {
          let { state } = startCheck(start);
          /** The needles asked about, by the step they belong to. */
          const asked = new Map<number, SpokenReading[]>();
          /** Steps that were over when a word said that they went wrong: the word fails them, whatever the needles were. */
          const byWord = new Set<number>();
          for (const event of events) {
            const next = advance(state, event);
            for (const { index, progress } of next.state.records) {
              const before = state.records.find((record) => record.index === index)?.progress.outcome;
              const now = progress.outcome;
              if (before !== undefined && now !== undefined && now !== before && isAdverse(now.cue)) byWord.add(index);
            }
            for (const answer of next.answers) {
              // A question about the last reading of the step just judged belongs to that step.
              const index = next.state.pending?.replaces ?? next.state.index;
              if (answer.type === 'question') asked.set(index, [...(asked.get(index) ?? []), answer.reading]);
            }
            for (const record of next.state.records) {
              if (record.result.verdict !== 'fail' || start.plan.steps[record.index]?.kind === 'observe') continue;
              if (byWord.has(record.index)) continue;
              const { readings, within = [] } = record.progress;
              const rested = [...readings, ...within].some((reading) =>
                asked.get(record.index)?.some((needles) => sameNeedles(needles, reading)),
              );
              if (!rested) expect(record, 'fails on needles that nobody was asked about').toBeUndefined();
            }
            state = next.state;
          }
        }),
        { numRuns: 150 },
      );
    },
    SLOW,
  );

  it(
    'a time event at the deadline moves the deadline on, so that a clock never hangs on it',
    () => {
      fc.assert(
        fc.property(starts, anyEvents, (start, events) => {
          for (const state of run(start, events)) {
            const due = nextDeadline(state);
            if (due === undefined) continue;
            const next = nextDeadline(advance(state, { type: 'time', at: due }).state);
            if (next !== undefined && next <= due) expect(next).toBeGreaterThan(due);
          }
        }),
        { numRuns: 150 },
      );
    },
    SLOW,
  );

  it(
    'an end leaves the check done, with a record for every step and a verdict',
    () => {
      fc.assert(
        fc.property(starts, anyEvents, (start, events) => {
          const last = run(start, [...events, { type: 'end', at: 4_000_000 }]).at(-1);
          expect(last?.phase).toBe('done');
          expect(last?.verdict).toBeDefined();
          expect(last?.records.map(({ id }) => id)).toEqual(start.plan.steps.map(({ id }) => id));
        }),
        { numRuns: 100 },
      );
    },
    SLOW,
  );
});
