import { describe, expect, it } from 'vitest';
import { replay } from '../../../src/check/machine.ts';
import { placesOf } from '../../../src/check/places.ts';
import { waysOf } from '../../../src/items/item.ts';
import { planOf, PLANS, Walk } from './walk.ts';

type Asking = 'ask' | 'assume';

/** A place at which these lines are said first and everything else is good; of the item in question only the lines speak. */
function at(place: string, item: string, lines: readonly string[], asking: Asking, confidence = 1) {
  const plan = PLANS.find((each) => each.id !== 'whole-pre-trip' && placesOf(each).some(({ id }) => id === place))!;
  const walk = new Walk(plan.id, { asking });
  for (const { id } of placesOf(plan)) {
    if (id === place) break;
    walk.place(id);
  }
  const heard = lines.map((line, index) => [line, index === lines.length - 1 ? confidence : 1] as const);
  const pressures = Object.fromEntries(
    (place === 'weekly-tires' ? ['right front', 'left rear', 'right rear'] : []).map((tire) => [
      `${tire.replace(' ', '-')}-pressure`,
      `${tire} pressure one oh five pounds and ${tire} pressure correct`,
    ]),
  );
  const source = asking === 'ask' || confidence < 1 ? 'voice' : 'transcript';
  for (const [line, sure] of heard) walk.say(line, { confidence: sure, source });
  if (walk.state.phase !== 'done') walk.place(place, { ...pressures, [item]: '' });
  if (walk.result(place) === undefined) walk.say('next');
  expect(replay(walk.events)).toEqual(walk.state);
  return { walk, result: walk.result(place), item: walk.result(place)?.items?.find(({ id }) => id === item) };
}

const BOTH: readonly Asking[] = ['ask', 'assume'];

describe('a defect that is said as a note', () => {
  it.each(['the compressor belt is frayed', 'something back there is leaking'])('is told: %s', (note) => {
    for (const asking of BOTH) {
      const { result } = at('engine-compartment', 'wiper', ['take a note', note], asking);
      expect(result?.verdict, asking).not.toBe('pass');
      expect(result?.flags, asking).toContainEqual(expect.stringContaining(note));
    }
  });
});

describe('an item that was called bad, doubtful or both', () => {
  // Place, item, what is said of it: none of these may end as a pass.
  it.each<[string, string, ...string[]]>([
    ['weekly-tires', 'left-front-pressure', 'left front pressure two pounds', 'correct', 'left front pressure correct'],
    ['weekly-tires', 'left-front-pressure', 'left front pressure two pounds', 'left front pressure correct', 'yes'],
    ['weekly-tires', 'left-front-pressure', 'left front pressure two pounds', 'left front pressure one oh five pounds'],
    ['weekly-tires', 'left-front-pressure', 'left front pressure two pounds', 'correction left front pressure correct'],
    ['weekly-tires', 'left-front-pressure', 'left front pressure correct', 'left front pressure two pounds'],
    ['weekly-tires', 'left-front-pressure', 'left front pressure one ninety pounds', 'left front pressure correct'],
    ['weekly-tires', 'left-front-pressure', 'left front pressure low', 'scratch that'],
    ['weekly-tires', 'left-front-pressure', 'left front pressure low', 'no', 'left front pressure correct'],
    ['lights', 'left-signal', 'left signal out', 'correction all lights working'],
    ['lights', 'left-signal', 'left signal out', 'scratch that', 'all lights working'],
    ['lights', 'left-signal', 'left signal not working', 'left signal working'],
    ['left-side', 'left-front-tire', 'left front tread forty thirty seconds', 'left front tire good'],
    ['left-side', 'left-front-tire', 'left front tread three thirty seconds', 'correction left front tire good'],
    ['left-side', 'left-front-tire', 'left front tread three thirty seconds', 'left front tread nine thirty seconds'],
    ['left-side', 'left-front-tire', 'left front tire flat', 'correction left front tread ten thirty seconds'],
    ['engine-compartment', 'belts', 'belts not tight', 'belts tight'],
    ['engine-compartment', 'belts', 'belts frayed belts tight'],
    ['engine-compartment', 'belts', 'belts frayed', 'go back', 'belts tight'],
    ['engine-compartment', 'belts', 'belts frayed', 'belts repaired'],
    ['engine-compartment', 'belts', 'belts frayed', 'scratch that', 'scratch that', 'skip no time'],
    ['engine-compartment', 'compressor-belt', 'compressor belt loose', 'compressor belt not fitted'],
    ['engine-compartment', 'compressor-belt', 'compressor belt loose', 'correction compressor belt skipped'],
  ])('never ends as good: %s, %s: %s', (place, item, ...lines) => {
    for (const asking of BOTH) {
      const { walk, result, item: is } = at(place, item, lines, asking);
      expect(is?.state, asking).not.toBe('good');
      expect(result?.verdict, asking).not.toBe('pass');
      expect(walk.state.verdict, asking).not.toBe('pass');
    }
  });

  it.each<[string, string, ...string[]]>([
    ['weekly-tires', 'left-front-pressure', 'tire two pounds', 'correct', 'left front pressure correct'],
    ['weekly-tires', 'left-front-pressure', 'left front pressure three hundred pounds', 'left front pressure correct'],
    ['engine-compartment', 'belts', 'belts frayed correction belts tight', 'belts tight'],
    ['engine-compartment', 'belts', 'belts good no frayed', 'belts tight'],
    ['engine-compartment', 'oil', 'the oil is low', 'oil level good'],
    ['engine-compartment', 'fluid-leaks', 'fluid leaks', 'fluid leaks none'],
    ['lights', 'left-signal', 'all lights working except left signal', 'left signal working'],
  ])('is told beside a verdict, which is no pass where nobody could ask: %s, %s: %s', (place, item, ...lines) => {
    expect(at(place, item, lines, 'assume').result?.verdict).toBe('marginal');
    expect(at(place, item, lines, 'ask').result?.flags?.join()).toContain(`“${lines[0]}” was said and not understood`);
  });

  it('is not taken back by words that were hardly heard', () => {
    const { item } = at('lights', 'left-signal', ['left signal out', 'correction left signal working'], 'assume', 0.1);
    expect(item).toMatchObject({ state: 'bad', words: 'out' });
  });

  it('stays in the record when it is scratched, is owed again, and is good only when it is said', () => {
    const scratched = at('engine-compartment', 'belts', ['belts frayed', 'scratch that'], 'ask');
    expect(scratched.item).toMatchObject({ state: 'not judged', words: '“frayed” was taken back; say how it is' });
    expect(scratched.walk.state.callouts.map(({ heard }) => heard).slice(0, 2)).toEqual([
      'belts frayed',
      'scratch that',
    ]);
    const said = at('engine-compartment', 'belts', ['belts frayed', 'scratch that', 'belts tight'], 'ask');
    expect(said.result?.verdict).toBe('pass');
    expect(said.result?.flags).toEqual(['Drive belts: “frayed” was called before, and corrected']);
  });

  it('takes a tread that cannot be as owed until it is said again', () => {
    const lines = ['left front tread forty thirty seconds', 'left front tread four thirty seconds'];
    expect(at('left-side', 'left-front-tire', lines, 'ask').item).toMatchObject({ state: 'good', value: { value: 4 } });
  });

  it('takes the second one of two for all of them', () => {
    for (const lines of [
      ['left headlight broken', 'right headlight broken'],
      ['left headlight broken and right headlight broken'],
    ])
      expect(at('lights', 'headlights', lines, 'ask').item).toMatchObject({ state: 'bad', class: 'out-of-service' });
    const once = ['left headlight broken', 'left headlight broken'];
    expect(at('lights', 'headlights', once, 'ask').item).toMatchObject({ state: 'bad', class: 'report' });
  });

  it('has the worst class of its item where the word is a general one', () => {
    for (const { items } of placesOf(planOf('whole-pre-trip')))
      for (const item of items) {
        const worst = item.bad.some((way) => way.class === 'out-of-service') ? 'out-of-service' : 'report';
        expect(waysOf(item).find(({ id }) => id === 'defective')).toMatchObject({ class: worst });
      }
  });
});
