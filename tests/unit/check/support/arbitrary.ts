import fc from 'fast-check';
import type { CheckEvent } from '../../../../src/check/event.ts';
import { COMMANDS, type Meaning, type SpokenReading } from '../../../../src/grammar/meaning.ts';
import { FULL } from './say.ts';

const CUES = [
  ...new Set(FULL.steps.flatMap(({ cues, outcomes = [], cuesAfter = [] }) => [...cues, ...outcomes, ...cuesAfter])),
];

const pressure = fc.oneof(
  fc.constantFrom(37, 66, 75, 85, 98, 100, 117, 118, 124).map((value) => ({ value, unit: 'psi' as const })),
  fc.integer({ min: 0, max: 180 }).map((value) => ({ value, unit: 'psi' as const })),
  fc.integer({ min: 0, max: 1100 }).map((value) => ({ value, unit: 'kPa' as const })),
);

const reading: fc.Arbitrary<SpokenReading> = fc.oneof(
  {
    weight: 5,
    arbitrary: fc
      .tuple(pressure, fc.integer({ min: -3, max: 3 }))
      .map(([p, d]) => ({ primary: p, secondary: { ...p, value: Math.max(0, p.value + d) } })),
  },
  { weight: 2, arbitrary: fc.record({ primary: pressure, secondary: pressure }) },
  { weight: 1, arbitrary: fc.record({ primary: pressure }) },
  { weight: 1, arbitrary: fc.record({ secondary: pressure }) },
);

const meaning: fc.Arbitrary<Meaning | undefined> = fc.oneof(
  { weight: 6, arbitrary: fc.constantFrom(...CUES).map((cue) => ({ cues: [cue] })) },
  { weight: 6, arbitrary: reading.map((r) => ({ cues: [], reading: r })) },
  {
    weight: 2,
    arbitrary: fc.record({ cues: fc.uniqueArray(fc.constantFrom(...CUES), { minLength: 1, maxLength: 3 }), reading }),
  },
  { weight: 4, arbitrary: fc.constantFrom(...COMMANDS).map((command) => ({ cues: [], command })) },
  { weight: 2, arbitrary: fc.constant({ cues: [], command: 'yes' as const }) },
  { weight: 2, arbitrary: reading.map((r) => ({ cues: [], command: 'correction' as const, reading: r })) },
  {
    weight: 1,
    arbitrary: fc
      .constantFrom('not-fitted', 'no-room')
      .map((reason) => ({ cues: [], command: 'skip' as const, reason })),
  },
  { weight: 1, arbitrary: fc.constantFrom('weather', 'other').map((reason) => ({ cues: [], reason })) },
  { weight: 1, arbitrary: fc.constant(undefined) },
);

/** What may happen next, `gap` ms after the last: mostly a callout. */
interface Happening {
  readonly gap: number;
  readonly make: (at: number) => CheckEvent;
}

const happening: fc.Arbitrary<Happening> = fc
  .record({
    gap: fc.oneof(fc.integer({ min: -500, max: 6_000 }), fc.constantFrom(59_000, 60_000, 62_000, 80_000)),
    lasting: fc.integer({ min: 0, max: 3_000 }),
    meaning,
    confidence: fc.constantFrom(0, 0.2, 0.9, 1),
    source: fc.constantFrom('voice' as const, 'touch' as const, 'transcript' as const),
    kind: fc.oneof(
      { weight: 20, arbitrary: fc.constant('callout' as const) },
      { weight: 3, arbitrary: fc.constant('time' as const) },
      { weight: 1, arbitrary: fc.constantFrom('interrupted' as const, 'resumed' as const) },
    ),
    why: fc.constantFrom(...(['microphone-lost', 'sound-lost', 'slept', 'page-closed', 'engine-lost'] as const)),
  })
  .map(({ gap, lasting, kind, why, ...said }) => ({
    gap,
    make: (at): CheckEvent => {
      switch (kind) {
        case 'time':
          return { type: 'time', at };
        case 'interrupted':
          return { type: 'interrupted', at, why };
        case 'resumed':
          return { type: 'resumed', at, wall: '2026-05-04T08:00:00Z' };
        case 'callout': {
          const { meaning: meant, ...rest } = said;
          return {
            type: 'callout',
            at,
            end: at + lasting,
            heard: 'words',
            ...rest,
            ...(meant === undefined ? {} : { meaning: meant }),
          };
        }
      }
    },
  }));

/** A full cab check in order: what is said, and how long after the last. */
const IN_ORDER: readonly (readonly [gap: number, meaning: Meaning])[] = [
  ...cues('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on'),
  called(75, 74),
  ...cues('engine-started', 'cut-out'),
  called(124, 123),
  ...cues('cut-in'),
  called(98, 97),
  ...cues('cut-out'),
  called(125, 124),
  ...cues('engine-off', 'brakes-released', 'settled'),
  called(118, 117),
  called(117, 116, 63_000),
  ...cues('brake-applied', 'settled'),
  called(107, 106),
  called(106, 105, 63_000),
  ...cues('buzzer'),
  called(66, 68),
  ...cues('valve-popped'),
  called(37, 38),
  ...cues('engine-started', 'fast-idle-set'),
  called(85, 85),
  called(100, 100, 31_000),
  ...cues('cut-out'),
  called(125, 125),
  ...cues(
    'fast-idle-off',
    'chocks-stowed',
    'belts-on',
    'in-drive',
    'rig-held',
    'hand-valve-held',
    'straight-stop',
    'check-complete',
  ),
];

function cues(...ids: readonly string[]): (readonly [number, Meaning])[] {
  return ids.map((id) => [3_000, { cues: [id] }] as const);
}

function called(primary: number, secondary: number, gap = 3_000): readonly [number, Meaning] {
  return [
    gap,
    { cues: [], reading: { primary: { value: primary, unit: 'psi' }, secondary: { value: secondary, unit: 'psi' } } },
  ];
}

const PLAIN = { heard: 'words', confidence: 0.9, source: 'voice' } as const;

/** A full cab check in which things are left out, doubled, misheard and put in between. */
const disturbedCheck: fc.Arbitrary<Happening[]> = fc
  .tuple(
    ...IN_ORDER.map(([gap, meant]) => {
      const plain: Happening = {
        gap,
        make: (at) => ({ type: 'callout', at, end: at + 1_500, ...PLAIN, meaning: meant }),
      };
      const misheard = reading.map((wrong): Happening => ({
        gap,
        make: (at) => ({
          type: 'callout',
          at,
          end: at + 1_500,
          ...PLAIN,
          meaning: meant.reading === undefined ? meant : { ...meant, reading: wrong },
        }),
      }));
      return fc.oneof(
        { weight: 30, arbitrary: fc.constant([plain]) },
        { weight: 1, arbitrary: fc.constant([plain, plain]) },
        { weight: 1, arbitrary: fc.constant([]) },
        { weight: 2, arbitrary: misheard.map((wrong) => [wrong]) },
        { weight: 3, arbitrary: happening.map((between) => [between, plain]) },
      );
    }),
  )
  .map((parts) => parts.flat());

/** Events in any order, mostly forward in time. */
export const anyEvents: fc.Arbitrary<CheckEvent[]> = fc
  .oneof(fc.array(happening, { maxLength: 60 }), disturbedCheck)
  .map((list) => {
    let at = 1_000;
    return list.map(({ gap, make }) => {
      at = Math.max(0, at + gap);
      return make(at);
    });
  });
