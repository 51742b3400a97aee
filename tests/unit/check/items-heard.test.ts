import { describe, expect, it } from 'vitest';
import { judgeAgain } from '../../../src/check/judge-again.ts';
import { listensFor } from '../../../src/check/listens-for.ts';
import type { Step } from '../../../src/check/plan.ts';
import type { StartEvent } from '../../../src/check/event.ts';
import { view } from '../../../src/check/view.ts';
import type { Meaning, SpokenItem } from '../../../src/grammar/meaning.ts';
import type { Item } from '../../../src/items/item.ts';
import type { OpenDefect } from '../../../src/items/open-defect.ts';
import { FULL, only, startOf, Walk } from './support/say.ts';

const item = (id: string, more: Partial<Item> = {}): Item => ({
  id,
  title: id,
  names: [id.replaceAll('-', ' ')],
  look: 'look',
  good: ['good'],
  bad: [
    { id: 'worn', words: ['worn through'], class: 'report', source: 'practice' },
    { id: 'cut', words: ['cut'], class: 'out-of-service', source: 'practice' },
  ],
  ...more,
});
const pressure = { what: 'pressure', unit: 'psi', said: ['pounds'], max: 150, limits: [] } as const;
const tread: NonNullable<Item['measure']> = {
  ...{ what: 'tread', unit: '32nds', said: ['thirty seconds'], max: 32 },
  limits: [{ below: 4, class: 'out-of-service', source: 'practice' }],
};
const place = (id: string, ...items: readonly Item[]): Step => ({
  ...{ id, title: id, kind: 'items', brief: id, instruction: id, test: 'none', cues: [], names: [id], items },
  sources: { practice: { document: 'common practice of the fire service', sure: 'practice' } },
});

const ENGINE = place('engine', item('oil'), item('drive-belts', { names: ['drive belts', 'belts'] }));
const CAB = place('cab', item('horn'), item('seat-belts'), item('wipers'));
const TIRES = place(
  'tires',
  ...['left', 'right', 'rear'].map((id) => item(id, { measure: pressure })),
  item('front', { measure: tread }),
);
/** Two places, a step that is none, and a third place. */
const walk = (more: Partial<StartEvent> = {}, steps = [ENGINE, CAB, ...only('approach').steps, TIRES]): Walk =>
  new Walk(startOf({ plan: { ...FULL, id: 'part', steps }, ...more }));
const atTires = (more: Partial<StartEvent> = {}): Walk => walk(more, [TIRES, CAB]);

const are = (state: string, ...ids: readonly string[]): SpokenItem[] => ids.map((id) => ({ item: id, state }));
const value = (id: string, psi: number): SpokenItem => ({ item: id, state: 'value', value: psi });
const saying = (items: readonly SpokenItem[], more: Partial<Meaning> = {}): Meaning => ({ cues: [], items, ...more });
const good = (...ids: readonly string[]): Meaning => saying(are('good', ...ids));
const to = (move: string): Meaning => ({ cues: [], move });

const open = (id: string): OpenDefect => ({
  ...{ item: id, title: id, words: 'worn through', class: 'report', since: '2026-05-01T07:00:00Z', check: 'c1' },
  operator: 'M. Lindqvist',
});
const verdicts = ({ state }: Walk): string[] => state.records.map(({ id, result }) => `${id} ${result.verdict}`);

describe('words of items that were hardly heard', () => {
  const both = saying([...are('good', 'oil'), ...are('cut', 'drive-belts')]);

  it('are asked for again where they are good, and taken where they are bad', () => {
    const heard = walk().say(both, { confidence: 0.1 });
    expect(heard.last).toEqual([
      { type: 'items-again', said: [{ title: 'oil', words: 'good' }] },
      { type: 'item-bad', item: { title: 'drive-belts', words: 'cut' }, class: 'out-of-service' },
    ]);
    expect(heard.state.callouts[0]?.taken).toBe(true);
    expect(walk().say(good('oil'), { confidence: 0.1 }).state.callouts[0]?.taken).toBe(false);
    const values = atTires().say(saying([value('front', 4), value('left', 105)]), { confidence: 0.1 });
    expect(values.last).toEqual([
      {
        type: 'items-again',
        said: [
          { title: 'front', words: '4' },
          { title: 'left', words: '105' },
        ],
      },
    ]);
  });

  it('leave no place, and take nothing back', () => {
    expect(walk().say({ ...both, move: 'next' }, { confidence: 0.1 }).step).toBe('engine');
    expect(walk({ asking: 'assume' }).say({ ...both, move: 'next' }, { confidence: 0.1 }).step).toBe('cab');
    const held = walk({ asking: 'assume' }).say(saying(are('cut', 'oil')));
    held.say(saying(are('good', 'oil'), { command: 'correction' }), { confidence: 0.1, heard: 'oil good' });
    expect(held.last).toEqual([{ type: 'item-sticks', item: { title: 'oil', words: 'cut' } }]);
    held.say(saying(are('good', 'oil'), { command: 'correction' }), { heard: 'oil good' });
    expect(held.state.items?.['oil']).toMatchObject({ bad: [], corrected: ['cut'] });
  });
});

describe('what is said of items', () => {
  it('is read back with how many are left, and what is bad with its class alone', () => {
    expect(walk().say(good('oil')).last).toEqual([
      { type: 'items-noted', said: [{ title: 'oil', words: 'good' }], left: 1 },
    ]);
    const seats = atTires().say(saying([value('left', 105), value('front', 3)]));
    expect(seats.last).toEqual([
      { type: 'item-bad', item: { title: 'front', words: '3 32nds, below 4' }, class: 'out-of-service' },
      { type: 'items-noted', said: [{ title: 'left', words: '105' }], left: 2 },
    ]);
    // What was bad before is not told of again with something else.
    expect(seats.say(saying(are('worn', 'right'))).last).toEqual([
      { type: 'item-bad', item: { title: 'right', words: 'worn through' }, class: 'report' },
    ]);
    expect(seats.say(saying([value('front', 20)], { command: 'correction' })).types).toEqual(['items-noted']);
  });

  it('keeps why it was skipped, in words', () => {
    const skipped = walk().say(saying(are('skipped', 'oil'), { reason: 'too-hot-now' }));
    expect(skipped.state.items?.['oil']?.skipped).toBe('too hot now');
  });

  it('that cannot be is owed again, whatever else is said', () => {
    const heard = atTires().say(saying([value('left', 151), ...are('good', 'right')]));
    expect(heard.last).toEqual([
      { type: 'item-impossible', title: 'left', value: 151, max: 150 },
      { type: 'items-noted', said: [{ title: 'right', words: 'good' }], left: 3 },
    ]);
    heard.say(good('left', 'rear', 'front')).say(to('next'));
    expect(verdicts(heard)).toEqual(['tires not judged']);
    expect(heard.state.records[0]?.result.reason).toContain('151 psi cannot be');
  });

  it('of several in one breath is no answer for one that was taken back, and no correction of a bad one', () => {
    const all = { heard: 'all good' };
    const back = walk()
      .say(saying(are('cut', 'oil')), { heard: 'oil cut' })
      .say('correction');
    back.say(good('oil', 'drive-belts'), all);
    expect(back.last[0]).toEqual({ type: 'items-again', said: [{ title: 'oil', words: 'good' }] });
    expect([back.step, back.state.items?.['drive-belts']?.good]).toEqual(['engine', true]);
    expect(back.say(good('oil'), { heard: 'oil good' }).step).toBe('cab');
    const bad = walk().say(saying(are('cut', 'oil')), { heard: 'oil cut' });
    bad.say(saying(are('good', 'oil', 'drive-belts'), { command: 'correction' }), all);
    expect(bad.last[0]).toEqual({ type: 'item-sticks', item: { title: 'oil', words: 'cut' } });
    expect(verdicts(bad)).toEqual(['engine fail']);
    // Once it was answered in its own words, all of them together take nothing from it.
    expect(walk().say(good('oil'), { heard: 'oil good' }).say(good('oil', 'drive-belts'), all).step).toBe('cab');
  });

  it('elsewhere counts where its words are those of nothing here', () => {
    const atCab = (): Walk => walk().say(good('oil')).say(to('next'));
    expect(verdicts(atCab().say(good('drive-belts'), { heard: 'belts good' }))).toEqual(['engine not judged']);
    expect(verdicts(atCab().say(good('drive-belts'), { heard: 'Drive belts good' }))).toEqual(['engine pass']);
    // Part of a word is no name.
    expect(verdicts(atCab().say(good('drive-belts'), { heard: 'overdrive beltsander good' }))).toEqual([
      'engine not judged',
    ]);
    // The next place is where one may have walked: its items are meant, whatever they are called.
    expect(walk().say(good('horn'), { heard: 'it sounds good' }).state.items?.['horn']?.good).toBe(true);
    expect(atCab().say(good('left'), { heard: 'tire good' }).state.items?.['left']).toBeUndefined();
  });
});

describe('the walk', () => {
  it('goes on when the words are of the next place alone', () => {
    expect(walk().say(good('horn')).step).toBe('cab');
    const both = walk().say(good('oil', 'horn'));
    expect([both.step, verdicts(both)]).toEqual(['engine', []]);
  });

  it('takes “next” right after the last item of a place for that place', () => {
    const done = walk().say(good('oil', 'drive-belts'));
    expect([done.step, verdicts(done)]).toEqual(['cab', ['engine pass']]);
    done.say(to('next'));
    expect([done.types, done.step, verdicts(done)]).toEqual([['brief'], 'cab', ['engine pass']]);
    expect(verdicts(done.say(to('next')))).toEqual(['engine pass', 'cab not judged']);
    // With words of this place it is this one that is left, and so after any of them.
    for (const said of [
      walk()
        .say(good('oil', 'drive-belts'))
        .say({ ...good('horn'), move: 'next' }),
      walk().say(good('oil', 'drive-belts')).say(good('horn')).say(to('next')),
      // The place before was left by “next” already.
      walk()
        .say({ ...good('oil', 'drive-belts'), move: 'next' })
        .say(to('next')),
    ])
      expect(verdicts(said)).toEqual(['engine pass', 'cab not judged']);
  });

  it('goes back as far as only places lie between, and forgets the verdicts from there on', () => {
    const back = walk().say(good('oil')).say(to('next')).say(good('horn')).say(to('engine'));
    expect(back.types).toEqual(['went-back', 'brief']);
    expect([back.step, back.state.records]).toEqual(['engine', []]);
    expect(back.say(good('drive-belts')).step).toBe('cab');
    expect(back.state.items?.['horn']?.good).toBe(true);
    // To where one stands: what is to be done there is told again.
    expect(back.say(to('cab')).types).toEqual(['went-back', 'brief']);
    expect(verdicts(back)).toEqual(['engine pass']);
  });

  it('waits for words in a place that it went back to and that has nothing left', () => {
    const back = walk().say(good('oil', 'drive-belts')).say(good('horn')).say(to('engine'));
    expect([back.step, back.types]).toEqual(['engine', ['went-back', 'brief']]);
    expect(back.say(saying(are('cut', 'oil'))).step).toBe('cab');
    expect(verdicts(back)).toEqual(['engine fail']);
  });

  it('goes nowhere that is ahead, beyond another step, or not known', () => {
    const tires = walk()
      .say(good('oil', 'drive-belts'))
      .say(good('horn', 'seat-belts', 'wipers'));
    expect([tires.step, tires.say(to('next')).last]).toEqual(['approach', [{ type: 'not-here' }]]);
    tires.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on');
    for (const [from, where] of [
      [tires, 'cab'],
      [walk(), 'cab'],
      [walk(), 'roof'],
    ] as const) {
      const { step } = from;
      expect(from.say(to(where)).last).toEqual([{ type: 'not-here' }]);
      expect(from.step).toBe(step);
    }
    expect(tires.step).toBe('tires');
  });

  it('leaves a place at once of which everything was said before', () => {
    const said = walk().say(good('oil', 'horn', 'seat-belts', 'wipers'));
    expect(said.step).toBe('engine');
    expect(verdicts(said.say(good('drive-belts')))).toEqual(['engine pass', 'cab pass']);
    expect(said.step).toBe('approach');
  });

  it('is what it was under other limits, which are none of its items', () => {
    const bad = walk()
      .say(good('oil'))
      .say(saying(are('cut', 'drive-belts')));
    expect(verdicts(bad)).toEqual(['engine fail']);
    expect(judgeAgain(bad.state, startOf().profile).records).toEqual(bad.state.records);
  });

  it('that is stopped keeps what was said, and names what was not', () => {
    const stopped = walk()
      .say(saying(are('cut', 'oil')))
      .say(good('horn'), { heard: 'horn good' });
    stopped.say(to('engine')).sayAll('stop-check', 'yes');
    expect(verdicts(stopped)).toEqual(['engine fail', 'cab not judged', 'approach not judged', 'tires not judged']);
    const [engine, cab, approach, tires] = stopped.state.records;
    expect(cab?.result.reason).toBe('Passed over: seat-belts, wipers. 1 good, 2 passed over.');
    expect([approach, tires].map((record) => record?.result.reason)).toEqual(Array(2).fill('the check was stopped'));
    expect([engine, cab, tires].map((record) => record?.outcome)).toEqual(Array(3).fill('unfinished'));
  });

  it('shows the items of a place as they stand, how many are left, and the places to go back to', () => {
    const shown = ({ state }: Walk): unknown => {
      const seen = view(state).place;
      return seen && [seen.items.map(({ state: is }) => is), seen.left, seen.earlier.map(({ id }) => id)];
    };
    const cab = walk()
      .say(good('oil', 'drive-belts'))
      .say(saying(are('worn', 'horn')));
    expect(shown(cab)).toEqual([['bad', 'passed over', 'passed over'], 2, ['engine']]);
    expect(shown(cab.say(good('seat-belts', 'wipers')))).toBeUndefined();
    expect(shown(walk({}, [ENGINE, ...only('approach').steps, CAB, TIRES]).say(to('next')))).toBeUndefined();
    const tires = walk({}, [...only('approach').steps, ENGINE, CAB, TIRES]);
    tires.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on', to('next'), to('next'));
    expect(shown(tires)).toEqual([Array(4).fill('passed over'), 4, ['engine', 'cab']]);
  });

  it('listens for what is said here, at the place before and at the next; in a recording for all', () => {
    const rules = (at: Walk): string[] => listensFor(at.state);
    expect(rules(walk())).toEqual(['items-at-engine', 'items-at-cab']);
    expect(rules(walk().say(to('next')))).toEqual(['items-at-cab', 'items-at-engine']);
    const middle = walk({}, [ENGINE, CAB, TIRES]).say(to('next'));
    expect(rules(middle)).toEqual(['items-at-cab', 'items-at-engine', 'items-at-tires']);
    expect(rules(middle.say('skip'))).toEqual(['reasons', 'items-at-cab', 'items-at-engine', 'items-at-tires']);
    expect(rules(walk().say('note'))).toEqual(['anything', 'items-at-engine', 'items-at-cab']);
    expect(rules(walk().say('pause'))).toEqual(['items-at-engine', 'items-at-cab']);
    const recorded = walk({ asking: 'assume' });
    expect(rules(recorded)).toEqual(['items']);
    recorded.say(to('next')).say(to('next'));
    // A defect counts that is called in a pause or after the end.
    expect(recorded.say('pause').rules).toContain('items');
    expect(recorded.sayAll('resume', 'stop-check', 'yes').rules).toEqual(['anything', 'denied', 'items']);
    expect(rules(walk().sayAll('stop-check', 'yes'))).toEqual([]);
  });
});

describe('items that need another word', () => {
  it('are those with a defect that is open, once nothing else is left', () => {
    const start = { openDefects: [open('oil'), open('horn')] };
    const asked = walk(start).say(good('oil'));
    expect(asked.types).toEqual(['items-noted']);
    asked.say(good('drive-belts'));
    expect(asked.last.at(-1)).toEqual({ type: 'open-defects', defects: [open('oil')], now: startOf().wall });
    expect(asked.step).toBe('engine');
    expect(asked.say(saying(are('repaired', 'oil'))).step).toBe('cab');
  });

  it('are those with a value that can hardly be: when it is called, and at the end', () => {
    const odd = { type: 'items-again', said: [{ title: 'right', words: expect.stringMatching(/^60 psi/) as string }] };
    const tires = atTires().say(saying([value('left', 105), value('rear', 104)]));
    expect(tires.types).toEqual(['items-noted']);
    expect(tires.say(good('left', 'rear')).types).toEqual(['items-noted']);
    expect(tires.say(saying([value('right', 60)])).types).toEqual(['items-noted']);
    expect(tires.say(good('right')).last).toContainEqual(odd);
    expect(tires.say(good('left')).last).not.toContainEqual(odd);
    const noted = { type: 'items-noted', said: [{ title: 'front', words: 'good' }], left: 0 };
    expect(tires.say(good('front')).last).toEqual([noted, odd]);
    expect(tires.step).toBe('tires');
    expect(tires.say(saying([value('right', 104)], { command: 'correction' })).step).toBe('cab');
    const known = atTires({ openDefects: [open('right')] }).say(
      saying([value('left', 105), value('rear', 104), value('right', 60)]),
    );
    expect(known.say(good('left', 'rear', 'right', 'front')).types).toEqual(['items-noted', 'open-defects']);
  });
});

describe('“correction” or “no” alone', () => {
  it('takes back what was said of the items right before it, also in the place behind', () => {
    const back = walk().say(good('oil')).say(good('drive-belts')).say('no');
    expect(back.last).toEqual([{ type: 'items-again', said: [{ title: 'drive-belts', words: 'good' }] }]);
    expect(verdicts(back)).toEqual(['engine not judged']);
    expect(back.state.items?.['oil']?.good).toBe(true);
    expect(verdicts(back.say(good('drive-belts'), { heard: 'drive belts good' }))).toEqual(['engine pass']);
  });

  it('takes no defect back by “no”, and keeps in the record what a correction takes back', () => {
    const bad = (command: string): Walk =>
      walk()
        .say(saying(are('cut', 'oil')))
        .say(command);
    expect(bad('no').last).toEqual([{ type: 'items-again', said: [{ title: 'oil', words: 'cut' }] }]);
    expect(bad('no').state.items?.['oil']?.bad).toEqual(['cut']);
    const gone = bad('correction').say(to('next'));
    expect(verdicts(gone)).toEqual(['engine not judged']);
    expect(gone.state.records[0]?.result.reason).toContain('“cut” was taken back');
  });

  it('is not about items when something else was taken after them', () => {
    const later = walk().say(good('oil')).say('engine-off').say('correction');
    expect(later.state.items?.['oil']?.good).toBe(true);
    expect(later.state.cab.engine).toBeUndefined();
  });
});

describe('a state of the check', () => {
  it('stays as it was when more is said', () => {
    const said = walk().say(good('oil'));
    const before = said.state;
    said.say(good('drive-belts'));
    expect([before.callouts.length, said.state.callouts.length]).toEqual([1, 2]);
  });
});

describe('words of items in a note', () => {
  it('count where they are bad, are nothing where they are good, and leave no place', () => {
    const noted = walk()
      .say(good('oil'))
      .say('note')
      .say(saying([...are('good', 'drive-belts'), ...are('cut', 'horn')]));
    expect(noted.types).toContain('item-bad');
    expect([noted.step, Object.keys(noted.state.items ?? {})]).toEqual(['engine', ['oil', 'horn']]);
  });
});
