import { afterEach, expect, it } from 'vitest';
import type { Answer } from '../../../../src/check/answer.ts';
import { builtInPlans } from '../../../../src/check/built-in-plans.ts';
import { placesOf } from '../../../../src/check/places.ts';
import { cueIds } from '../../../../src/grammar/select.ts';
import { BUILT_IN_PROFILES } from '../../../../src/judging/built-in-profiles.ts';
import type { LevelId } from '../../../../src/rehearsal/level.ts';
import { CLASS_WORDS, type WalkLine } from '../../../../src/rehearsal/pre-trip/coach-walk.ts';
import { pastWalk } from '../../../../src/rehearsal/pre-trip/past-walk.ts';
import { pictureOf } from '../../../../src/rehearsal/pre-trip/pictures.ts';
import { shownWalk } from '../../../../src/rehearsal/pre-trip/shown.ts';
import { lookOf, paperFaults, paperPlan, type PaperFault } from '../../../../src/rehearsal/pre-trip/walk.ts';
import type { EarEvents } from '../../../../src/running/ear.ts';
import { languageOf } from '../../../../src/running/language.ts';
import type { Speech } from '../../../../src/running/live-check.ts';
import { LiveWalk } from '../../../../src/running/live-walk.ts';
import { DEFAULT_SETTINGS } from '../../../../src/running/settings.ts';
import { loadGrammar } from '../../../support/grammar.ts';

const grammar = loadGrammar();
const LANGUAGE = languageOf(grammar);
const PLANS = builtInPlans(new Set(cueIds(grammar)));

/** A plan with some items of one of its places: the grammar of all of them takes its time. */
function planOf(id: string, items: readonly string[]) {
  const plan = PLANS.find((each) => each.id === id)!;
  const [place] = plan.steps;
  return paperPlan({
    ...plan,
    steps: [{ ...place!, items: place!.items!.filter((item) => items.includes(item.id)) }],
  })!;
}

const ENGINE = planOf('engine-compartment', ['oil', 'coolant', 'belts', 'compressor-belt', 'hoses', 'wiring']);

/** A seed with which the fault asked for is the only one that the level hides in the engine compartment. */
function seedWith(level: LevelId, fits: (faults: readonly PaperFault[]) => boolean, plan = ENGINE): number {
  for (let seed = 0; seed < 50_000; seed += 1) if (fits(paperFaults(plan, seed, level))) return seed;
  throw new Error('no seed has such faults');
}

const open: LiveWalk[] = [];
afterEach(async () => {
  for (const walk of open.splice(0)) await walk.close();
});

/** A walk on paper, and a trainee who speaks. */
async function begin(level: LevelId, seed: number, plan = ENGINE) {
  let ear: EarEvents | undefined;
  let steady = 1000;
  const spoken: Answer[] = [];
  const speech: Speech = {
    speak: (answers) => spoken.push(...answers),
    sound: () => undefined,
    operator: () => undefined,
    pass: () => undefined,
    cancel: () => undefined,
    onSpeaking: undefined,
    caption: ({ type }) => type,
  };
  const settled = (): Promise<void> => new Promise((done) => setImmediate(done));
  const walk = new LiveWalk(
    {
      language: LANGUAGE,
      steady: () => steady,
      wall: () => '2026-05-06T07:00:00.000Z',
      every: () => () => undefined,
      settings: () => DEFAULT_SETTINGS,
      ear: {
        open: (events) => {
          ear = events;
          return Promise.resolve();
        },
        retry: () => Promise.resolve(),
        listenFor: () => undefined,
        talk: () => undefined,
        close: () => Promise.resolve(),
      },
      speech,
      onChange: () => undefined,
    },
    { plan, profile: BUILT_IN_PROFILES[0]!, level, seed, trainee: 'P. Serrano', wall: '2026-05-06T07:00:00.000Z' },
  );
  open.push(walk);
  await walk.open();
  const say = async (text: string): Promise<void> => {
    steady += 5000;
    await ear!.heard({
      ...{ engine: 'vosk' as const, words: [], text, start: steady - 1500, end: steady, confidence: 0.95 },
      ...{ rejected: false, clip: new Float32Array(0) },
    });
    await settled();
  };
  return { walk, spoken, say };
}

const shown = ({ walk }: { readonly walk: LiveWalk }) => shownWalk(walk.walked!, walk.setup.level);
const itemOf = (id: string) => placesOf(ENGINE)[0]!.items.find((item) => item.id === id)!;
const goodWords = (id: string): string => `${itemOf(id).names[0]!} good`;

/** Every item of the engine compartment in its order, good but for what is said otherwise; then the end. */
async function walkEngine(
  level: LevelId,
  seed: number,
  but: Readonly<Record<string, readonly string[]>>,
  order = placesOf(ENGINE)[0]!.items.map(({ id }) => id),
) {
  const bench = await begin(level, seed);
  for (const id of order) for (const line of but[id] ?? [goodWords(id)]) await bench.say(line);
  return bench;
}

const linesOf = (walk: LiveWalk): readonly WalkLine[] => walk.over!.report.places.flatMap(({ lines }) => lines);

const BELT_SEED = seedWith(
  'prompted',
  (faults) => faults.length === 1 && faults[0]!.item === 'belts' && faults[0]!.way === 'frayed',
);

it('named, pointed at and put into its class, in order and with nothing else called bad, a walk has the full score', async () => {
  const bench = await walkEngine('prompted', BELT_SEED, { belts: ['belts frayed', 'report it'] });
  bench.walk.explain('belts', { spot: 'upper' });
  expect(bench.walk.over).toBeUndefined();
  await bench.say('check complete');
  const { report } = bench.walk.over!;
  expect(report).toMatchObject({ score: 100, findings: [] });
  expect(linesOf(bench.walk).find(({ item }) => item === 'belts')).toMatchObject({
    is: 'seen',
    named: true,
    classed: true,
    pointed: true,
    fault: {
      words: 'frayed',
      class: 'report',
      source: { document: 'National Safety Code Standard 13 (Canada), Schedule 1' },
    },
  });
  expect(linesOf(bench.walk).filter(({ is }) => is === 'good')).toHaveLength(5);
});

it('each thing that is wrong with it costs, and is told by its own kind', async () => {
  const cases: readonly (readonly [
    Readonly<Record<string, readonly string[]>>,
    string | undefined,
    readonly string[],
    number,
  ])[] = [
    [{}, undefined, ['fault-not-called'], 50],
    [{ belts: ['belts frayed', 'out of service'] }, 'upper', ['wrong-class'], 67],
    [{ belts: ['belts frayed'] }, 'upper', ['wrong-class'], 67],
    [{ belts: ['belts loose report it'] }, 'upper', ['wrong-name'], 84],
    [{ belts: ['belts frayed report it'] }, 'left', ['wrong-spot'], 84],
    [{ belts: ['belts frayed report it'] }, undefined, ['wrong-spot'], 84],
    [{ belts: ['belts frayed report it'], coolant: ['coolant level low report it'] }, 'upper', ['false-alarm'], 67],
    [{ belts: ['belts frayed report it'], wiring: [] }, 'upper', ['missing'], 67],
  ];
  for (const [but, spot, kinds, score] of cases) {
    const { walk, say } = await walkEngine('prompted', BELT_SEED, but);
    if (spot !== undefined) walk.explain('belts', { spot });
    if (but['wiring'] !== undefined) await say('next');
    await say('check complete');
    expect([walk.over?.report.findings.map(({ kind }) => kind), walk.over?.report.score], JSON.stringify(but)).toEqual([
      kinds,
      score,
    ]);
  }
});

it('what is said out of the order of the walk is told, and only that', async () => {
  const order = placesOf(ENGINE)[0]!.items.map(({ id }) => id);
  const swapped = [...order.slice(0, 2), 'wiring', ...order.slice(2).filter((id) => id !== 'wiring')];
  const { walk, say } = await walkEngine('prompted', BELT_SEED, { belts: ['belts frayed report it'] }, swapped);
  walk.explain('belts', { spot: 'upper' });
  await say('check complete');
  expect(walk.over?.report.findings).toMatchObject([
    { kind: 'out-of-order', what: 'Engine compartment, out of the order of the walk: Wiring.' },
  ]);
  expect(walk.over?.report.score).toBe(84);
});

it('at the end of the walk each drawing can be turned to again, and what is called then counts', async () => {
  const { walk, say } = await walkEngine('prompted', BELT_SEED, {});
  expect(shown({ walk })).toMatchObject({ place: undefined, shown: undefined, before: { id: 'engine-compartment' } });
  expect(shownWalk(walk.walked!, 'prompted', 'belts').shown?.called).toBe('good');
  await say('correction belts frayed report it');
  walk.explain('belts', { spot: 'upper' });
  await say('check complete');
  expect(walk.over?.report).toMatchObject({ score: 100, findings: [] });
});

it('every fault of a seed, said as the list has it, is seen, named and put into its class; said nothing of, it is missed', async () => {
  const seed = seedWith('told', (faults) => faults.some((fault) => fault.class === 'out-of-service'));
  const faults = paperFaults(ENGINE, seed, 'told');
  const called = Object.fromEntries(
    faults.map((fault) => {
      const words =
        fault.way === 'defective' ? 'loose' : itemOf(fault.item).bad.find(({ id }) => id === fault.way)!.words[0]!;
      return [fault.item, [`${itemOf(fault.item).names[0]!} ${words} ${CLASS_WORDS[fault.class]}`]];
    }),
  );
  const { walk, say } = await walkEngine('told', seed, called);
  for (const fault of faults) {
    const picture = pictureOf(itemOf(fault.item))!;
    walk.explain(fault.item, { spot: picture.drawing.looks[lookOf(picture, fault)]!.at[0]! });
  }
  await say('check complete');
  expect(walk.over?.report).toMatchObject({ score: 100, findings: [] });
  const silent = await begin('told', seed);
  await silent.say('next');
  await silent.say('check complete');
  expect(
    linesOf(silent.walk)
      .filter(({ is }) => is === 'missed')
      .map(({ item }) => item),
  ).toEqual(faults.map(({ item }) => item));
  expect(silent.walk.over?.report.score).toBe(0);
});

it('a tread gauge is read: its own figure is right, another is not named, and a good one no fault', async () => {
  const plan = planOf('walk-round', ['left-front-tire', 'left-front-rim']);
  const seed = seedWith(
    'silent',
    (faults) => faults.length === 1 && faults[0]!.item === 'left-front-tire' && faults[0]!.way === 'value',
    plan,
  );
  for (const [words, is, named] of [
    ['left front tread three thirty seconds out of service', 'seen', true],
    ['left front tread two thirty seconds out of service', 'seen', false],
    ['left front tread nine thirty seconds', 'missed', undefined],
  ] as const) {
    const { walk, say } = await begin('silent', seed, plan);
    await say(words);
    await say('next');
    await say('check complete');
    const line = linesOf(walk).find(({ item }) => item === 'left-front-tire')!;
    expect([line.is, line.named]).toEqual([is, named]);
    expect(line.fault).toMatchObject({ class: 'out-of-service' });
  }
});

it('nothing that is spoken tells a class, a verdict or an end; a silent examiner says nothing at all', async () => {
  for (const level of ['told', 'silent'] as const) {
    const { spoken, say, walk } = await walkEngine(level, 7, { 'compressor-belt': ['compressor belt frayed'] });
    await say('check complete');
    expect(walk.over).toBeDefined();
    const types = spoken.map(({ type }) => type);
    expect(types.filter((type) => ['item-bad', 'verdict', 'finished', 'fork'].includes(type))).toEqual([]);
    if (level === 'silent') expect(types).toEqual([]);
    else expect(types).toContain('items-noted');
  }
});

it('the log of it says that it is a rehearsal, and no shelf of checks has it', async () => {
  const { walk } = await begin('told', 7);
  expect(walk.state!.start.rig).toMatchObject({ id: 'rehearsal', name: 'rehearsal: a rig on paper' });
  expect(
    pastWalk(
      { trainee: 'P. Serrano', wall: 'w', level: 'told', planId: 'cab' },
      { score: 40, places: [], findings: [] },
    ),
  ).toMatchObject({
    scenario: 'pre-trip-cab',
    score: 40,
  });
});

it('a defect stays in view until its class is told; where nothing is named, no other drawing is turned to for it', async () => {
  const named = await begin('told', BELT_SEED);
  expect(shown(named).shown?.item.id).toBe('oil');
  await named.say('belts frayed');
  expect(shown(named).shown?.item.id).toBe('belts');
  await named.say('report it');
  expect(shown(named).shown?.item.id).toBe('oil');
  expect(named.walk.live.heard).toEqual({ words: 'report it', taken: 'class: report it', used: true });
  const unnamed = await begin('silent', BELT_SEED);
  await unnamed.say('belts frayed');
  expect(shown(unnamed)).toMatchObject({ waits: true, shown: { item: { id: 'oil' } } });
  // Oil and coolant have the same drawing, the wiring one of its own.
  expect(shown(unnamed).named).toBe(true);
  expect(shownWalk(unnamed.walk.walked!, 'silent', 'wiring').named).toBe(false);
});
