import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CalloutEvent, CheckEvent } from '../../../src/check/event.ts';
import { nextDeadline } from '../../../src/check/deadline.ts';
import { advance, startCheck } from '../../../src/check/machine.ts';
import type { CheckState } from '../../../src/check/state.ts';
import type { Meaning, SpokenReading } from '../../../src/grammar/meaning.ts';
import type { Verdict } from '../../../src/judging/result.ts';
import type { Ms } from '../../../src/units/time.ts';
import { FULL, startOf, TENDER_34 } from './support/say.ts';

/** One thing said in a check: what, after how many seconds of silence, and which way its needles get worse. */
interface Line {
  readonly after: number;
  readonly meaning: Meaning;
  readonly worse?: 1 | -1;
}

const cue = (...ids: readonly string[]): Line[] => ids.map((id) => ({ after: 2, meaning: { cues: [id] } }));

function called(primary: number, secondary: number, worse?: 1 | -1, after = 2): Line {
  const reading = { primary: { value: primary, unit: 'psi' }, secondary: { value: secondary, unit: 'psi' } } as const;
  return { after, meaning: { cues: [], reading }, ...(worse === undefined ? {} : { worse }) };
}

interface Figures {
  readonly staticDrop: number;
  readonly appliedDrop: number;
  readonly warning: number;
  readonly buildUp: number;
  readonly held: boolean;
}

/** A whole check done as the plan says, on a rig in order or not. The numbers are common practice, no source. */
function wholeCheck({ staticDrop, appliedDrop, warning, buildUp, held }: Figures): Line[] {
  return [
    ...cue('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on'),
    called(75, 74),
    ...cue('engine-started', 'cut-out'),
    called(124, 123, 1),
    ...cue('cut-in'),
    called(98, 97, -1),
    ...cue('cut-out'),
    called(125, 124),
    ...cue('engine-off', 'brakes-released', 'settled'),
    called(118, 117, 1),
    called(118 - staticDrop, 117, -1, 61),
    ...cue('brake-applied', 'settled'),
    called(107, 106, 1),
    called(107, 106 - appliedDrop, -1, 61),
    ...cue('buzzer'),
    called(warning, warning + 1, warning < 65 ? -1 : 1),
    ...cue('valve-popped'),
    called(37, 38),
    ...cue('engine-started', 'fast-idle-set'),
    called(85, 85),
    called(100, 100, -1, buildUp),
    ...cue('cut-out'),
    called(125, 125),
    ...cue('fast-idle-off', 'chocks-stowed', 'belts-on', 'in-drive', held ? 'rig-held' : 'rig-moved'),
    ...cue('brakes-released', 'hand-valve-held', 'straight-stop', 'check-complete'),
  ];
}

const figures: fc.Arbitrary<Figures> = fc.record({
  staticDrop: fc.constantFrom(0, 1, 2, 3, 6),
  appliedDrop: fc.constantFrom(0, 2, 3, 4, 8),
  warning: fc.constantFrom(50, 56, 65, 80),
  buildUp: fc.constantFrom(30, 44, 60),
  held: fc.boolean(),
});

/** A check under way, and the end of what was said last. */
interface UnderWay {
  readonly state: CheckState;
  readonly at: Ms;
}

type Asking = 'ask' | 'assume';

function begin(asking: Asking): UnderWay {
  return { state: startCheck(startOf({ rig: TENDER_34, asking })).state, at: 0 };
}

function say({ state, at }: UnderWay, after: number, meaning: Meaning): UnderWay {
  const begins = at + after * 1000;
  let next = state;
  const take = (event: CheckEvent): void => {
    next = advance(next, event).state;
  };
  for (let due = nextDeadline(next); due !== undefined && due <= begins; due = nextDeadline(next))
    take({ type: 'time', at: due });
  const callout: CalloutEvent = {
    type: 'callout',
    at: begins,
    end: begins + 1000,
    heard: meaning.cues.join(' '),
    confidence: 0.9,
    source: 'voice',
    meaning,
  };
  take(callout);
  return { state: next, at: begins + 1000 };
}

/** The callouts of the lines, 1 s each, and the check before each of them. A question is answered with yes where somebody can be asked. */
function perform(lines: readonly Line[], asking: Asking, from = begin(asking)): Performed {
  const before: UnderWay[] = [];
  let under = from;
  for (const { after, meaning } of lines) {
    before.push(under);
    under = say(under, after, meaning);
    if (asking === 'ask' && under.state.pending !== undefined) under = say(under, 0.5, { cues: [], command: 'yes' });
  }
  return { before, end: advance(under.state, { type: 'end', at: under.at + 60_000 }).state };
}

interface Performed {
  readonly before: readonly UnderWay[];
  readonly end: CheckState;
}

/** The check as the plan says, and the same with other lines from one on: what came before that is done once. */
function inTwoWays(
  lines: readonly Line[],
  asking: Asking,
  from: number,
  others: readonly Line[],
): readonly [CheckState, CheckState] {
  const { before, end } = perform(lines, asking);
  return [end, perform(others, asking, before[from]).end];
}

/** No verdict and a fail are both no acceptance; neither is better than the other. */
const ACCEPTED: Readonly<Record<Verdict, number>> = { fail: 0, 'not judged': 0, marginal: 1, pass: 2 };

function gotBetter(before: CheckState, after: CheckState): string[] {
  return before.records.flatMap(({ id, result }) => {
    const now = after.records.find((record) => record.id === id)?.result.verdict ?? 'not judged';
    return ACCEPTED[now] > ACCEPTED[result.verdict] ? [`${id}: ${result.verdict} became ${now}`] : [];
  });
}

/** Steps that were accepted although a condition of theirs was not so, or not known though it must be. */
function acceptedAgainstConditions({ records }: CheckState): string[] {
  return records.flatMap(({ id, result }) => {
    const broken = result.conditions?.find(({ state }) => state === 'contradicted' || state === 'unknown');
    return ACCEPTED[result.verdict] > 0 && broken !== undefined ? [`${id}: ${broken.what} ${broken.state}`] : [];
  });
}

const CUES = [
  ...new Set([
    'parking-brake-set',
    'pedal-released',
    ...FULL.steps.flatMap(({ cues, outcomes = [], cuesAfter = [] }) => [...cues, ...outcomes, ...cuesAfter]),
  ]),
];

const askings = fc.constantFrom('ask' as const, 'assume' as const);

describe('a check done as the plan says', () => {
  it('passes on a rig in order, with every condition known or assumed', () => {
    for (const asking of ['ask', 'assume'] as const) {
      const lines = wholeCheck({ staticDrop: 0, appliedDrop: 2, warning: 65, buildUp: 30, held: true });
      const state = perform(lines, asking).end;
      expect(state.verdict).toBe('pass');
      expect(acceptedAgainstConditions(state)).toEqual([]);
    }
  });

  it('gets no better verdict in any step by any cue that is put in, at any moment', () => {
    fc.assert(
      fc.property(
        figures,
        askings,
        fc.constantFrom(...CUES),
        fc.nat(),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (rig, asking, extra, place, share) => {
          const lines = wholeCheck(rig);
          const index = place % lines.length;
          const next = lines[index];
          if (next === undefined) return;
          // Within the silence before a line: what is left of it is kept, so that holds and windows stay as long as they were.
          const before = Math.max(0, next.after - 1) * share;
          const put: Line[] = [
            { after: before, meaning: { cues: [extra] } },
            { ...next, after: Math.max(0, next.after - before - 1) },
            ...lines.slice(index + 1),
          ];
          const [asPlanned, changed] = inTwoWays(lines, asking, index, put);
          expect(gotBetter(asPlanned, changed)).toEqual([]);
          expect(acceptedAgainstConditions(changed)).toEqual([]);
        },
      ),
      { numRuns: 600 },
    );
  }, 600_000);

  it('gets no better verdict by a reading that is worse', () => {
    fc.assert(
      fc.property(figures, askings, fc.nat(), fc.integer({ min: 1, max: 30 }), (rig, asking, place, by) => {
        const lines = wholeCheck(rig);
        const judged = lines.flatMap(({ worse }, index) => (worse === undefined ? [] : [index]));
        const index = judged[place % judged.length] ?? 0;
        const worsened = lines.slice(index).map((line, at) => (at === 0 ? moved(line, by) : line));
        const [asPlanned, changed] = inTwoWays(lines, asking, index, worsened);
        expect(gotBetter(asPlanned, changed)).toEqual([]);
        expect(acceptedAgainstConditions(changed)).toEqual([]);
      }),
      { numRuns: 300 },
    );
  }, 600_000);

  it('gets no better verdict by needles called within a hold', () => {
    fc.assert(
      fc.property(figures, askings, fc.integer({ min: 90, max: 125 }), fc.boolean(), (rig, asking, value, both) => {
        const lines = wholeCheck(rig);
        const closing = lines.findIndex(({ after }) => after === 61);
        const pressure = { value, unit: 'psi' } as const;
        const reading: SpokenReading = both ? { primary: pressure, secondary: pressure } : { secondary: pressure };
        const put = [
          { after: 20, meaning: { cues: [], reading } },
          { ...lines[closing]!, after: 40 },
          ...lines.slice(closing + 1),
        ];
        expect(gotBetter(...inTwoWays(lines, asking, closing, put))).toEqual([]);
      }),
      { numRuns: 200 },
    );
  }, 600_000);
});

function moved({ meaning, worse = 1, ...line }: Line, by: number): Line {
  const shift = (value: number): number => Math.max(0, value + worse * by);
  const { primary, secondary } = meaning.reading ?? {};
  if (primary === undefined || secondary === undefined) return { ...line, meaning };
  const reading: SpokenReading = {
    primary: { ...primary, value: shift(primary.value) },
    secondary: { ...secondary, value: shift(secondary.value) },
  };
  return { ...line, meaning: { ...meaning, reading } };
}
