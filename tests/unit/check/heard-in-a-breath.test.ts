import { describe, expect, it } from 'vitest';
import { view } from '../../../src/check/view.ts';
import type { Meaning, SpokenReading } from '../../../src/grammar/meaning.ts';
import { Walk as PlaceWalk } from '../items/walk.ts';
import { needles, only, primary, secondary, startOf, TENDER_34, Walk, type Said } from './support/say.ts';

const both = (value: number) => needles(value, value);
const on = (...steps: readonly string[]): Walk => new Walk(startOf({ plan: only(...steps) }));
const taken = ({ state }: Walk): boolean | undefined => state.callouts.at(-1)?.taken;
const tug = (...more: readonly string[]): Walk =>
  on('tug-test', 'service-brake-test').knowing('engine-started', 'parking-brake-set', ...more);
/** A static hold that runs from 20 s to 80 s, or whose first needles are asked about. */
const holding = (first: 'take' | 'ask' = 'take'): Walk =>
  on('static-leakage', 'applied-leakage')
    .sayAll('engine-off', 'brakes-released', 'settled')
    .say(both(120), { at: 18, lasting: 2, confidence: first === 'ask' ? 0.1 : 0.9 });
const correction = (reading: SpokenReading): Meaning => ({ cues: [], command: 'correction', reading });

describe('one breath', () => {
  it('in which everything was said is not answered with what is still needed', () => {
    const walk = tug().sayAll('chocks-stowed', 'belts-on');
    walk.say({ cues: ['in-drive', 'rig-held'], reading: both(120), before: 0 });
    expect(walk.verdict('tug-test')).toBe('pass');
    expect(walk.types).toEqual(['verdict', 'brief']);
  });

  it('with needles and the first cue of the step after is of that step, however soon after others', () => {
    const walk = holding().waitTo(81).say(both(120), { at: 81 });
    walk.say({ cues: ['brake-applied'], reading: both(116), before: 0 }, { at: 83 });
    expect([walk.types.includes('question'), walk.state.progress.cues]).toEqual([false, ['brake-applied']]);
  });

  it('with the needles of a plain reading judges them on the cab before it', () => {
    const walk = on('pre-start-fill').say({ cues: ['engine-started'], reading: both(75) });
    const [condition] = walk.state.records[0]?.result.conditions ?? [];
    expect([condition?.what, condition?.state]).toEqual(['engine off', 'assumed']);
    const later = on('pre-start-fill').sayAll('engine-off', both(75), 'fast-idle-set', 'engine-started');
    expect(later.verdict('pre-start-fill')).toBe('pass');
  });

  it('with needles said instead of others counts in both', () => {
    const walk = on('pre-start-fill').sayAll(both(72), 'correction', { cues: ['engine-started'], reading: both(75) });
    expect(walk.verdict('pre-start-fill')).toBe('pass');
    expect(walk.state.records[0]?.progress.readings).toMatchObject([both(75)]);
  });

  it('with what was seen, and then the cab otherwise, judges it on the cab before, and heeds both', () => {
    const plan = only('hand-valve-test', 'service-brake-test');
    const walk = new Walk(startOf({ plan, rig: TENDER_34 })).knowing('engine-started');
    walk.say({ cues: ['brakes-released', 'hand-valve-held', 'parking-brake-set'] });
    expect(walk.verdict('hand-valve-test')).toBe('pass');
    expect(walk.state.cab['parking brake']?.is).toBe('set');
  });
});

describe('what a callout counts for', () => {
  it.each<[string, Walk, Said, boolean]>([
    ['a cue of the step', on('approach'), 'chocks-set', true],
    ['the cab, in a step that does not wait for it', on('approach'), 'engine-off', true],
    ['what only happens to the rig', on('approach').say('engine-off'), 'cut-out', false],
    ['what was called before', on('approach').say('chocks-set'), 'mirrors-set', true],
    ['what went wrong in a step that lies ahead', on('approach', 'service-brake-test'), 'pulled-left', true],
    ['what went wrong in no step of the plan', on('approach'), 'pulled-left', false],
    ['what was seen, in a step that sees nothing', on('approach', 'tug-test'), 'rig-held', false],
    ['what spoils a hold', holding(), 'engine-started', true],
    ['the cab, beside what only happens to the rig', on('approach'), 'engine-off rig-held', true],
    ['what spoils needles that are asked about', holding('ask'), 'engine-started', true],
    ['needles in a step without', on('approach'), both(75), false],
    ['one needle', on('pre-start-fill'), primary(75), true],
    ['needles before their moment', on('low-air-warning').say('engine-off'), both(90), false],
  ])('%s', (_, walk, said, counts) => {
    expect(taken(walk.say(said))).toBe(counts);
  });

  it('is marked of that callout alone, also of what was called early or corrected', () => {
    const early = on('approach', 'service-brake-test').sayAll('rig-held', 'pulled-left');
    expect(early.state.callouts.map((each) => each.taken)).toEqual([false, true]);
    expect(early.types[0]).toBe('noted');
    const fixed = tug('chocks-stowed').sayAll('belts-on', 'in-drive', 'chocks-stowed', 'rig-moved').murmur('radio');
    fixed.say({ cues: ['rig-held'], command: 'correction' });
    expect(fixed.verdict('tug-test')).toBe('pass');
    expect(fixed.state.callouts.slice(-2).map((each) => each.taken)).toEqual([false, true]);
  });
});

describe('what went wrong and was called before its step', () => {
  it('holds in that step, and in no other', () => {
    const walk = tug().sayAll('pulled-left', 'pedal-released', 'chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
    expect(walk.verdict('tug-test')).toBe('pass');
    expect(walk.state.progress.outcome?.cue).toBe('pulled-left');
    expect(walk.state.early).toEqual([]);
    expect(walk.sayAll('straight-stop', 'check-complete').verdict('service-brake-test')).toBe('fail');
  });
});

describe('what went wrong', () => {
  it('sticks against its opposite alone, not against another wrong or another word', () => {
    const stop = on('service-brake-test').knowing('engine-started').sayAll('pulled-left', 'pulled-right');
    expect([stop.state.progress.outcome?.cue, stop.types.includes('sticks')]).toEqual(['pulled-right', false]);
    expect(tug().sayAll('rig-moved', 'belts-on').types).not.toContain('sticks');
    expect(tug().sayAll('rig-moved', 'rig-held').types).toContain('sticks');
  });

  it('is what the end of a step waits for', () => {
    const walk = on('service-brake-test').knowing('engine-started').say('check-complete');
    expect(view(walk.state).heard).toEqual([]);
    expect(walk.say('straight-stop').verdict('service-brake-test')).toBeUndefined();
  });
});

describe('words against a measurement', () => {
  const closing = (): Walk => holding().waitTo(81);

  it('after needles that are asked about leave them as they were by the first of them', () => {
    const walk = closing().say(needles(110, 119)).sayAll('engine-started', 'parking-brake-set', 'yes');
    expect(walk.verdict('static-leakage')).toBe('fail');
    const again = holding().sayAll('correction', 'engine-started', 'engine-off', 'settled', both(120));
    expect(again.state.phase).toBe('holding');
  });

  it('leave needles that are confirmed on what was known at their moment, not on what was called after them', () => {
    const walk = on('low-air-warning').say('buzzer').say(both(60), { confidence: 0.1 });
    walk.sayAll('engine-off', 'chocks-stowed', 'yes');
    expect(walk.verdict('low-air-warning')).toBe('not judged');
  });

  it('leave a fail that nobody answered remembered', () => {
    const walk = closing().say(needles(110, 119)).sayAll('engine-started', 'go-back');
    expect(walk.state.undone).toMatchObject([{ id: 'static-leakage', result: { verdict: 'fail' } }]);
  });

  it('spoil it where one needle alone is asked about, and not where that one closes a window', () => {
    const half = closing().say(primary(119), { confidence: 0.1 }).say('engine-started');
    expect(half.types).toEqual(['contradicted', 'still-needed']);
    const build = on('build-up').sayAll('engine-started', 'fast-idle-set').say(both(85), { at: 10 });
    build.say(primary(100), { at: 40 }).say(secondary(100), { at: 42, confidence: 0.1 });
    expect(build.say('engine-off').types).toEqual(['question']);
    expect(build.say('yes').verdict('build-up')).toBe('pass');
  });

  it('count in the step under way, while needles of the step behind are asked about', () => {
    const walk = on('governor-cut-in', 'refill').knowing('engine-started').sayAll('cut-in', both(98));
    walk.sayAll(correction(both(79)), 'engine-off', 'no');
    expect(walk.types).toEqual(['call-again']);
    expect(walk.sayAll('cut-out', both(120)).verdict('refill')).not.toBe('pass');
  });

  it('with which the operator goes on are no reason where something else was', () => {
    const reason = (walk: Walk): string | undefined => walk.say('brake-applied').state.records[0]?.result.reason;
    const lost = holding().send({ type: 'interrupted', at: 22_000, why: 'microphone-lost' });
    expect(reason(lost)).toBe('not finished: the microphone was lost, and it was not repeated');
    const anew = holding().sayAll('engine-started', 'engine-off', 'settled', both(120));
    expect(reason(anew)).toMatch(/“engine-started” was called/);
  });

  it('with which the operator goes on leave the correction that was begun in the step before', () => {
    const walk = holding().sayAll('correction', 'brake-applied', 'settled', both(112));
    expect([walk.step, walk.state.phase]).toEqual(['applied-leakage', 'holding']);
  });
});

describe('what is denied', () => {
  const held = (): Walk => tug().sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
  const filled = (...said: readonly Said[]): Walk =>
    on('pre-start-fill', 'governor-cut-out', 'governor-cut-in', 'refill').sayAll(both(75), 'engine-started', ...said);
  const noted = ({ state }: Walk): readonly (readonly string[] | undefined)[] => [
    state.progress.strays,
    state.progress.told,
  ];

  it('is owed again where it was called in this step, which is marginal at best then', () => {
    const walk = on('approach').sayAll('chocks-set', 'not-chocks-set');
    expect(view(walk.state).needed[0]).toBe('chocks-set');
    expect(noted(walk)).toEqual([['“not-chocks-set” was called after “chocks set”'], undefined]);
    const brakes = on('static-leakage').sayAll('engine-off', 'brakes-released', 'not-brakes-released');
    expect([brakes.state.cab['brake pedal'], brakes.state.cab['parking brake']?.is]).toEqual([undefined, 'set']);
    const moment = on('governor-cut-out').sayAll('engine-started', 'cut-out', 'not-cut-out');
    expect([moment.state.progress.outcome, moment.state.progress.cab]).toEqual([undefined, undefined]);
    expect(moment.sayAll('cut-out', both(120)).verdict('governor-cut-out')).toBe('marginal');
    const twice = on('approach').sayAll('chocks-set', 'not-chocks-set', 'chocks-set', 'not-chocks-set');
    expect(twice.state.progress.strays).toHaveLength(2);
  });

  it('is told of where it was not called; of what is seen or felt once it leaves no pass', () => {
    expect(noted(tug().say('not-belts-on'))).toEqual([undefined, ['“not-belts-on” was called']]);
    expect(noted(tug().say('not-rig-held'))).toEqual([['“not-rig-held” was called'], undefined]);
    expect(noted(on('low-air-warning').say('not-buzzer'))).toEqual([undefined, ['“not-buzzer” was called']]);
  });

  it('counts in the step behind that it was called in, unless this one waits for it, or the cab may be changed since', () => {
    const late = held().say('not-rig-held');
    expect([late.verdict('tug-test'), noted(late)]).toEqual(['marginal', [undefined, undefined]]);
    expect(late.types).toContain('verdict');
    const out = filled('cut-out', both(120), 'cut-in', both(98), 'not-cut-out');
    expect([out.verdict('governor-cut-out'), noted(out)[1]]).toEqual(['pass', ['“not-cut-out” was called']]);
    expect(late.say('not-rig-held').state.records[0]?.result.flags).toHaveLength(2);
    const long = on('low-air-warning', 'spring-brake-activation', 'build-up').knowing('engine-off', 'brakes-released');
    long.sayAll('buzzer', both(60), 'valve-popped', both(38), 'not-buzzer');
    expect(long.verdict('low-air-warning')).toBe('marginal');
    expect(filled('not-engine-started').verdict('pre-start-fill')).toBe('marginal');
    expect(filled('cut-out', both(120), 'not-engine-started').verdict('pre-start-fill')).toBe('pass');
  });

  it('counts after the end, where it was called or in the last step', () => {
    const over = (): Walk => held().sayAll('straight-stop', 'check-complete');
    expect(over().state.verdict).toBe('pass');
    const moved = over().say('not-rig-held');
    expect([moved.verdict('tug-test'), moved.verdict('service-brake-test')]).toEqual(['marginal', 'pass']);
    const last = over().say('not-settled');
    expect([last.verdict('tug-test'), last.verdict('service-brake-test')]).toEqual(['pass', 'marginal']);
    expect(last.state.verdict).toBe('marginal');
  });

  it('makes nothing better of a step that was skipped', () => {
    const walk = on('service-brake-test').say({ cues: [], command: 'skip', reason: 'no-room' }).say('not-settled');
    expect(walk.state.records[0]?.result).toMatchObject({
      verdict: 'not judged',
      reason: 'skipped, no room',
      flags: ['“not-settled” was called after the end'],
    });
  });
});

describe('written words after the end', () => {
  const over = (): Walk =>
    new Walk(startOf({ plan: only('service-brake-test'), asking: 'assume' }))
      .knowing('engine-started')
      .sayAll('straight-stop', 'check-complete');
  const flags = ({ state }: Walk): readonly string[] => state.records[0]?.result.flags ?? [];
  const written = (walk: Walk, heard: string): Walk => walk.murmur(heard, { source: 'transcript' });

  it('are told of with the last step, each once, and no more than eight of them', () => {
    const walk = over();
    for (let each = 0; each < 10; each += 1) written(walk, `word ${each}`);
    expect([walk.state.verdict, flags(walk).length]).toEqual(['pass', 8]);
    expect(flags(written(written(over(), 'well'), 'well'))).toEqual(['“well” was said after the end']);
    expect(flags(over().murmur('well'))).toEqual([]);
  });

  it('leave no pass where they tell of trouble, or take something back', () => {
    expect(written(over(), 'there is a leak').verdict('service-brake-test')).toBe('marginal');
    for (const command of ['no', 'correction'])
      expect(over().say(command, { source: 'transcript' }).verdict('service-brake-test')).toBe('marginal');
    expect(over().say('yes', { source: 'transcript' }).verdict('service-brake-test')).toBe('pass');
  });
});

describe('a note', () => {
  it('hears what went wrong in this step, and takes nothing good for seen', () => {
    const walk = on('service-brake-test').knowing('engine-started').sayAll('note', 'straight-stop');
    expect(walk.state.progress.outcome).toBeUndefined();
    expect(walk.sayAll('note', 'pulled-left').state.progress.outcome?.cue).toBe('pulled-left');
  });
});

describe('while needles are asked about', () => {
  it('a cue that comes after them is kept, and the step goes on with a yes', () => {
    const walk = on('final-fill').knowing('engine-started').say('cut-out').say(both(120), { confidence: 0.1 });
    expect(walk.say('fast-idle-off').types).toEqual(['question']);
    expect(walk.say('yes').verdict('final-fill')).toBe('pass');
    const early = on('final-fill').knowing('engine-started').say('cut-out').say('fast-idle-off');
    expect(view(early.state).heard).toEqual(['cut-out']);
  });

  it('needles before other words in one breath answer, and the words are heard after them', () => {
    const walk = on('governor-cut-in', 'refill').knowing('engine-started').say('cut-in');
    walk.say(both(98), { confidence: 0.1 }).say({ cues: ['cut-out'], reading: both(98), before: 0 });
    expect([walk.verdict('governor-cut-in'), walk.state.progress.outcome?.cue]).toEqual(['pass', 'cut-out']);
    const other = on('governor-cut-in', 'refill').knowing('engine-started').say('cut-in');
    other.say(both(98), { confidence: 0.1 }).say({ cues: ['cut-out'], reading: both(170), before: 0 });
    expect([other.step, other.state.pending?.reading.primary?.value]).toEqual(['governor-cut-in', 170]);
    expect(other.types).toEqual(['question', 'question']);
  });

  it('what is said of the way of listening leaves the question', () => {
    for (const command of ['listen-open', 'listen-push', 'how-long'] as const)
      for (const asking of ['ask', 'assume'] as const) {
        const walk = new Walk(startOf({ plan: only('pre-start-fill'), asking })).say(both(75), { confidence: 0.1 });
        expect(walk.say({ cues: [], command }).state.phase).toBe('asking');
      }
  });
});

describe('the clock of the whole check', () => {
  it('is not stopped where it was never started', () => {
    const walk = on('service-brake-test').knowing('engine-started').sayAll('straight-stop', 'check-complete');
    expect(walk.state.clock).toEqual({});
    expect(walk.last.at(-1)).not.toHaveProperty('seconds');
  });
});

describe('a caution of the cab', () => {
  it.each<[string, Said]>([
    ['a rig that was not put in drive', 'not-in-drive'],
    ['chocks that are still in', 'not-chocks-stowed'],
  ])('%s: the step does not pass', (_, said) => {
    const walk = tug().sayAll('chocks-stowed', 'belts-on', 'in-drive', said, 'rig-held');
    expect(walk.verdict('tug-test')).not.toBe('pass');
  });
});

describe('say again', () => {
  it('repeats only the last of several answers', () => {
    const walk = on('approach', 'pre-start-fill', 'governor-cut-out').sayAll(
      ...['chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on'],
      both(75),
      'engine-started',
    );
    expect(walk.types).toEqual(['verdict', 'brief']);
    expect(walk.say('say-again').last).toMatchObject([{ type: 'again', answer: { type: 'brief' } }]);
    expect(walk.say('skip').say('say-again').types).toEqual(['ask-skip-reason']);
  });
});

describe('the screen', () => {
  it('shows what is still needed, of which kind, and what is asked', () => {
    const walk = tug();
    expect(view(walk.state)).toMatchObject({
      ...{ phase: 'listening', index: 0, total: 2, heard: [], stopped: false, readingNeeded: false },
      needed: ['chocks-stowed', 'belts-on', 'in-drive'],
      neededOutcomes: ['rig-held', 'rig-moved'],
    });
    for (const key of ['latest', 'missingCircuit', 'hold', 'window', 'question', 'whose', 'fork', 'place', 'verdict'])
      expect(view(walk.state)).not.toHaveProperty(key);
    const seen = view(walk.say('rig-moved').state);
    expect([seen.heard, seen.neededOutcomes]).toEqual([['rig-moved'], []]);
    const fill = on('final-fill').knowing('engine-started').say('cut-out');
    expect(view(fill.state)).toMatchObject({ needed: ['fast-idle-off'], readingNeeded: true });
    const over = view(fill.sayAll(both(120), 'fast-idle-off').state);
    expect(over).toMatchObject({ needed: [], neededOutcomes: [], readingNeeded: false, callouts: [], verdict: 'pass' });
    expect(over.step).toBeUndefined();
    expect(over.results).toMatchObject([{ id: 'final-fill', title: 'Refill, fast idle off', verdict: 'pass' }]);
  });

  it('names the places that “back to …” reaches, in the order of the walk', () => {
    const walk = new PlaceWalk('walk-round').place('left-side').place('front');
    const { place } = view(walk.state);
    expect(place?.earlier.map(({ id }) => id)).toEqual(['left-side', 'front']);
    expect(place?.left).toBe(place?.items.length);
    expect(view(walk.state).readingNeeded).toBe(false);
    expect(view(new PlaceWalk('walk-round').state).place?.earlier).toEqual([]);
  });
});

describe('a fork after a fail', () => {
  const failed = (next: string, ...said: readonly Said[]): boolean => {
    const plan = only('governor-cut-out', next);
    const steps = plan.steps.toSorted((one) => (one.id === 'governor-cut-out' ? -1 : 1));
    const walk = new Walk(startOf({ plan: { ...plan, steps }, settings: { stillAfterFail: true } }));
    walk.knowing('engine-started').sayAll('cut-out', both(140), 'yes', ...said);
    return view(walk.state).fork !== undefined;
  };

  it('is none once anything of the next step was called, or while something is asked', () => {
    expect(failed('pre-start-fill')).toBe(true);
    expect(failed('pre-start-fill', both(75))).toBe(false);
    expect(failed('pre-start-fill', primary(75))).toBe(false);
    expect(failed('pre-start-fill', both(50))).toBe(false);
    expect(failed('pre-start-fill', 'pause')).toBe(false);
    expect(failed('approach', 'chocks-set')).toBe(false);
    expect(failed('low-air-warning', 'engine-off', 'buzzer', 'engine-started')).toBe(false);
    expect(failed('service-brake-test')).toBe(false);
  });

  it('is none in a walk: what is bad is repaired, not measured again', () => {
    const walk = new PlaceWalk('walk-round', { settings: { stillAfterFail: true } });
    walk.place('left-side', { 'left-front-tire': 'left front tire flat' });
    expect([walk.result('left-side')?.verdict, view(walk.state).fork]).toEqual(['fail', undefined]);
  });

  it('leaves a step that moves the rig where it is known already what it will come to', () => {
    const plan = only('tug-test', 'service-brake-test');
    const walk = new Walk(startOf({ plan, settings: { stillAfterFail: true } })).knowing('parking-brake-set');
    walk.sayAll('pulled-left', 'chocks-stowed', 'belts-on', 'in-drive', 'rig-moved');
    expect([walk.step, walk.state.progress.outcome?.cue]).toEqual(['service-brake-test', 'pulled-left']);
    const drives: Meaning = { cues: ['in-drive'] };
    const other = { ...only('approach'), steps: [...plan.steps, { ...only('approach').steps[0]!, cues: drives.cues }] };
    const left = new Walk(startOf({ plan: other, settings: { stillAfterFail: true } })).knowing('parking-brake-set');
    expect(left.sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-moved').state.phase).toBe('done');
  });
});
