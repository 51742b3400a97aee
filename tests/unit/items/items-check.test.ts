import { describe, expect, it } from 'vitest';
import type { StartEvent } from '../../../src/check/event.ts';
import { advance, replay } from '../../../src/check/machine.ts';
import { placesOf } from '../../../src/check/places.ts';
import { parse } from '../../../src/grammar/parse.ts';
import { waysOf, type Item } from '../../../src/items/item.ts';
import type { OpenDefect } from '../../../src/items/open-defect.ts';
import { grammarOfPlan } from '../../../src/running/grammar-of-plan.ts';
import { grammar, GOOD, planOf, PLANS, Walk } from './walk.ts';

const LIGHTS = placesOf(planOf('walk-round')).find(({ id }) => id === 'lights')!;
const ALL_LIGHTS = Object.fromEntries(LIGHTS.groups![0]!.items.map((id) => [id, 'all lights working']));

function atLights(more: Partial<StartEvent> = {}): Walk {
  const walk = new Walk('walk-round', more);
  for (const { id } of placesOf(planOf('walk-round'))) if (id !== 'lights') walk.place(id);
  return walk;
}

function isBadState(item: Item, state: string): boolean {
  return waysOf(item).some(({ id }) => id === state);
}

const FRAYED: OpenDefect = {
  item: 'belts',
  title: 'Drive belts',
  words: 'frayed',
  class: 'report',
  since: '2026-05-04T07:00:00.000Z',
  check: 'c1',
  operator: 'M. Lindqvist',
};

describe('a walk of items', () => {
  it('is passed when everything was said, and leaves each place by itself', () => {
    const walk = new Walk('walk-round');
    for (const { id } of placesOf(planOf('walk-round'))) walk.place(id);
    expect(walk.state.verdict).toBe('pass');
    expect(replay(walk.events)).toEqual(walk.state);
  });

  it('never passes on silence: each single item passed over is named, and the place is not judged', () => {
    const { items } = placesOf(planOf('cab'))[0]!;
    for (const left of items) {
      const walk = new Walk('cab');
      for (const item of items) if (item !== left) walk.say(GOOD[item.id]!);
      walk.say('next');
      expect(walk.answers).toContainEqual(expect.objectContaining({ type: 'passed-over', titles: [left.title] }));
      expect(walk.result('cab')?.verdict).toBe('not judged');
      expect(walk.result('cab')?.reason).toContain(`Passed over: ${left.title}.`);
      expect(walk.state.verdict).toBe('incomplete');
    }
  });

  it('fails at once on each way that is out of service, and never passes on one to report', () => {
    const seen = { 'out-of-service': 0, report: 0 };
    for (const place of placesOf(planOf('engine-compartment')))
      for (const item of place.items)
        for (const way of item.bad) {
          const walk = new Walk('engine-compartment').say(`${item.names[0]} ${way.words[0]}`);
          expect(walk.answers).toContainEqual(expect.objectContaining({ type: 'item-bad', class: way.class }));
          walk.say('stop the check').say('yes');
          expect(walk.state.verdict).toBe(way.class === 'out-of-service' ? 'fail' : 'incomplete');
          seen[way.class] += 1;
        }
    expect(seen['out-of-service']).toBeGreaterThan(5);
    expect(seen.report).toBeGreaterThan(10);
    const report = new Walk('engine-compartment').place('engine-compartment', { belts: 'belts frayed' });
    expect(report.result('engine-compartment')).toMatchObject({ verdict: 'marginal' });
  });

  it('keeps what was called bad until it is corrected in so many words', () => {
    const walk = new Walk('engine-compartment').say('compressor belt frayed').say('compressor belt tight');
    expect(walk.answers[0]).toMatchObject({ type: 'item-sticks', item: { words: 'frayed' } });
    walk.say('correction, compressor belt tight').place('engine-compartment');
    expect(walk.result('engine-compartment')).toMatchObject({ verdict: 'pass' });
    expect(walk.result('engine-compartment')?.flags?.[0]).toMatch(/“frayed” was called before, and corrected/);
  });

  it('takes an item late, early and in the place behind, and judges that place again', () => {
    const walk = new Walk('whole-pre-trip').place('engine-compartment', { belts: 'oil level full' }).say('next');
    expect(walk.result('engine-compartment')?.verdict).toBe('not judged');
    walk.say('drive belts tight');
    expect(walk.result('engine-compartment')?.verdict).toBe('pass');
    walk.say('compressor belt loose');
    expect(walk.result('engine-compartment')?.verdict).toBe('fail');
  });

  it('takes good words that may be of what is here for nothing elsewhere', () => {
    const walk = new Walk('whole-pre-trip').place('engine-compartment', { belts: 'oil level full' }).say('next');
    walk.say('belts good');
    expect(walk.answers).toContainEqual({ type: 'items-again', said: [{ title: 'Drive belts', words: 'good' }] });
    walk.say('all lights working');
    expect(walk.result('engine-compartment')?.verdict).toBe('not judged');
    expect(walk.state.items?.['left-signal']).toBeUndefined();
    walk.say('compressor belt frayed');
    expect(walk.result('engine-compartment')?.items?.filter(({ state }) => state === 'bad')).toHaveLength(1);
  });

  it('goes back to a place and on from it without asking again for what was said', () => {
    const walk = new Walk('walk-round').place('left-side').place('front').place('right-side').say('back to tires');
    expect(walk.state.start.plan.steps[walk.state.index]?.id).toBe('left-side');
    walk.say('left front tire flat').say('next');
    expect(walk.result('left-side')?.verdict).toBe('fail');
    expect(walk.state.start.plan.steps[walk.state.index]?.id).toBe('rear');
  });

  it('goes on with whoever has walked on, and tells what was passed over', () => {
    const walk = new Walk('whole-pre-trip').place('engine-compartment', { wiring: 'oil level full' }).say('horn works');
    expect(walk.answers).toContainEqual(expect.objectContaining({ type: 'passed-over', titles: ['Wiring'] }));
    expect(walk.state.start.plan.steps[walk.state.index]?.id).toBe('cab');
    expect(walk.state.items?.['horn']?.good).toBe(true);
    walk.say('wiring secure');
    expect(walk.result('engine-compartment')?.verdict).toBe('pass');
  });

  it('skips what a helper would have to see: not judged, with the reason', () => {
    const walk = new Walk('walk-round');
    for (const id of ['left-side', 'front', 'right-side', 'rear']) walk.place(id);
    walk.say('left signal out').say('skip, no helper');
    expect(walk.result('lights')).toMatchObject({ verdict: 'not judged' });
    expect(walk.result('lights')?.items?.filter(({ words }) => words === 'no helper')).toHaveLength(11);
    expect(walk.result('lights')?.items?.find(({ id }) => id === 'left-signal')).toMatchObject({ state: 'bad' });
  });

  it('takes no good word that it heard badly, and every bad one', () => {
    const walk = new Walk('cab').say('horn works', { confidence: 0.1 });
    expect(walk.state.items?.['horn']).toBeUndefined();
    expect(walk.answers[0]?.type).toBe('items-again');
    walk.say('seat loose', { confidence: 0.1 });
    expect(walk.state.items?.['seat']?.bad).toEqual(['loose']);
    const file = new Walk('cab', { asking: 'assume' }).say('horn works', { confidence: 0.1 });
    expect(file.state.items?.['horn']?.unconfirmed).toBe(true);
  });

  it('refuses a tread that cannot be, and keeps the worse of two', () => {
    const walk = new Walk('walk-round').say('left front tread forty thirty seconds');
    expect(walk.answers[0]).toMatchObject({ type: 'item-impossible', value: 40, max: 32 });
    walk.say('left front tread three thirty seconds').say('left front tread nine thirty seconds');
    expect(walk.answers[0]?.type).toBe('item-sticks');
    expect(walk.state.items?.['left-front-tire']?.value).toBe(3);
  });

  it('hears what is bad in a note, and takes “correction” alone for the items before it', () => {
    const walk = new Walk('cab').say('take a note').say('seat belts cut');
    expect(walk.state.items?.['seat-belts']?.bad).toEqual(['cut']);
    walk.say('horn works').say('correction');
    expect(walk.state.items?.['horn']).toBeUndefined();
  });
});

describe('a defect that is said in other words than those of its item', () => {
  // What a crew says of a part that is not as it must, whatever the part; common practice, no source.
  const EVERYDAY = [
    'bad',
    'is broken',
    'cracked',
    'missing',
    'loose',
    'leaking',
    'damaged',
    'worn',
    'dead',
    'not working',
  ];

  it.each(PLANS.filter((plan) => placesOf(plan).length > 0).map(({ id }) => id))(
    'counts for every item of %s, whatever is called good after it',
    (id) => {
      const own = grammarOfPlan(grammar, planOf(id));
      const lost = placesOf(planOf(id)).flatMap(({ items }) =>
        items.flatMap((item) =>
          EVERYDAY.filter((words) => {
            const said = parse(own, ['items'], `${item.names[0]} ${words}`, 'psi')?.items;
            return said?.length !== 1 || said[0]?.item !== item.id || !isBadState(item, said[0].state);
          }).map((words) => `${item.names[0]} ${words}`),
        ),
      );
      expect(lost).toEqual([]);
    },
  );

  it.each([
    'headlights out',
    'left headlight out',
    'brake light does not work',
    'one brake light out',
    'tail lights one out',
    'high beams dead',
  ])('does not let “all lights working” take back “%s”', (heard) => {
    const walk = atLights().say(heard).say('all lights working').place('lights');
    expect(walk.result('lights')?.verdict).toMatch(/fail|marginal/);
    expect(walk.result('lights')?.items?.filter(({ state }) => state === 'bad')).toHaveLength(1);
  });

  it('is told and keeps the place from passing where nobody understood it', () => {
    const walk = atLights().say('headlights kaput').say('all lights working').place('lights', ALL_LIGHTS);
    expect(walk.result('lights')).toMatchObject({ verdict: 'marginal' });
    expect(walk.result('lights')?.reason).toContain('Headlights: “headlights kaput” was said and not understood');
    const again = atLights().say('headlights kaput').place('lights');
    expect(again.result('lights')?.verdict).toBe('pass');
    const file = atLights({ asking: 'assume' }).say('headlights kaput').place('lights');
    expect(file.result('lights')?.verdict).toBe('marginal');
    const corrected = atLights({ asking: 'assume' }).say('headlights kaput').say('correction, headlights working');
    expect(corrected.place('lights').result('lights')?.verdict).toBe('pass');
  });

  it.each(['left tire flat', 'everything bad', 'there is a leak'])('is told where it names no item: “%s”', (heard) => {
    const said = { type: 'callout', at: 500, end: 900, heard, confidence: 1, source: 'transcript' } as const;
    const walk = new Walk('walk-round', { asking: 'assume' });
    walk.state = advance(walk.state, said).state;
    expect(walk.place('left-side').result('left-side')).toMatchObject({ verdict: 'marginal' });
  });

  it('counts against a place that is behind, and is not made of a name alone', () => {
    const walk = new Walk('whole-pre-trip').say('oil level').place('engine-compartment');
    expect(walk.result('engine-compartment')?.verdict).toBe('pass');
    walk.say('belts look awful');
    expect(walk.result('engine-compartment')?.verdict).toBe('marginal');
  });

  it.each(['ask', 'assume'] as const)('counts in a pause (%s)', (asking) => {
    const walk = new Walk('engine-compartment', { asking }).say('pause the check').say('belts loose');
    walk.say('oil level good').say('resume the check').place('engine-compartment');
    expect(walk.result('engine-compartment')?.items?.find(({ id }) => id === 'belts')).toMatchObject({ state: 'bad' });
    expect(walk.state.verdict).not.toBe('pass');
  });

  it.each(['compressor belt loose', 'compressor belt kaput'])('counts after the end: “%s”', (heard) => {
    const walk = new Walk('engine-compartment', { asking: 'assume' }).place('engine-compartment');
    expect(walk.state.verdict).toBe('pass');
    walk.say(heard);
    expect(walk.state.verdict).not.toBe('pass');
    expect(replay(walk.events)).toEqual(walk.state);
  });
});

describe('what was called bad', () => {
  const bad = (walk: Walk, item: string): readonly string[] | undefined => walk.state.items?.[item]?.bad;

  it('is taken back neither by “no”, nor by a correction that was hardly heard or is of all at once', () => {
    expect(bad(new Walk('cab').say('seat loose').say('no'), 'seat')).toEqual(['loose']);
    const file = new Walk('cab', { asking: 'assume' }).say('seat loose');
    expect(bad(file.say(`correction, ${GOOD['seat']}`, { confidence: 0.1 }), 'seat')).toEqual(['loose']);
    const lights = atLights().say('left signal out').say('correction, all lights working');
    expect(
      lights
        .say('next')
        .result('lights')
        ?.items?.find(({ id }) => id === 'left-signal')?.state,
    ).toBe('bad');
  });

  it('is told when the rest of its place is skipped, and fails a check that ends before its place', () => {
    const skipped = new Walk('engine-compartment').say('compressor belt loose').say('skip, no helper');
    const verdict: unknown = expect.objectContaining({ verdict: 'fail' });
    expect(skipped.answers).toContainEqual(expect.objectContaining({ type: 'verdict', result: verdict }));
    const open = { openDefects: [{ ...FRAYED, class: 'out-of-service' as const }] };
    const early = new Walk('engine-compartment', open).say('stop the check').say('yes');
    expect([early.result('engine-compartment')?.verdict, early.state.verdict]).toEqual(['fail', 'fail']);
  });

  it('after the end keeps the last place from passing, where it names no item', () => {
    const walk = new Walk('engine-compartment', { asking: 'assume' }).place('engine-compartment');
    expect(walk.state.verdict).toBe('pass');
    expect(walk.say('there is a leak', { source: 'transcript' }).state.verdict).not.toBe('pass');
  });
});

describe('what is called good with little reason', () => {
  it.each([
    ['two', 'below 50'],
    ['sixty', 'and another 105'],
  ])('asks about a tire at %s pounds, and says the pressures that no limit is held against', (pounds, words) => {
    const walk = new Walk('weekly');
    for (const item of placesOf(planOf('weekly')).find(({ id }) => id === 'weekly-tires')!.items)
      walk.say(`${item.names[0]} one oh five pounds`).say(`${item.names[0]} correct`);
    walk.say(`left front pressure ${pounds} pounds`);
    const { reason, verdict } = walk.say('next').result('weekly-tires') ?? {};
    expect(verdict).toBe('not judged');
    expect(reason).toContain(words);
  });

  it('tells of a repair where nothing was open, and takes no part for its neighbour', () => {
    const walk = new Walk('engine-compartment').place('engine-compartment', { belts: 'belts repaired' });
    expect(walk.result('engine-compartment')?.flags).toEqual([
      'Drive belts: “repaired” was called, and no defect of it was open',
    ]);
    const round = new Walk('walk-round').place('left-side').say('tow eyes secure');
    expect(round.state.items?.['bumper']).toBeUndefined();
  });
});

describe('a defect that is open from an earlier check', () => {
  it('is told first, and asked for: neither silence nor “good” closes it', () => {
    const start = { openDefects: [FRAYED] };
    const walk = new Walk('engine-compartment', start);
    expect(walk.answers[0]).toMatchObject({ type: 'open-defects' });
    walk.place('engine-compartment');
    expect(walk.answers).toContainEqual(expect.objectContaining({ type: 'open-defects' }));
    expect(walk.state.verdict).toBeUndefined();
    walk.say('belts repaired');
    expect(walk.result('engine-compartment')?.verdict).toBe('pass');
    const silent = new Walk('engine-compartment', { openDefects: [{ ...FRAYED, class: 'out-of-service' }] }).say(
      'next',
    );
    expect(silent.result('engine-compartment')?.verdict).toBe('fail');
  });

  it('is not closed by whoever reported it where the plan forbids that', () => {
    const plan = { ...planOf('engine-compartment'), closedByAnother: true as const };
    const own = new Walk('engine-compartment', { plan, openDefects: [FRAYED], operator: FRAYED.operator });
    own.place('engine-compartment', { belts: 'belts repaired' }).say('next');
    expect(own.result('engine-compartment')).toMatchObject({ verdict: 'not judged' });
    expect(own.result('engine-compartment')?.reason).toMatch(/may not close it/);
    const other = new Walk('engine-compartment', { plan, openDefects: [FRAYED] });
    other.place('engine-compartment', { belts: 'belts repaired' });
    expect(other.result('engine-compartment')?.verdict).toBe('pass');
  });
});
