import { describe, expect, it } from 'vitest';
import type { CalloutEvent, StartEvent } from '../../../src/check/event.ts';
import { listensFor } from '../../../src/check/listens-for.ts';
import { replay } from '../../../src/check/machine.ts';
import { view } from '../../../src/check/view.ts';
import { needles, only, startOf, Walk, type Said } from './support/say.ts';

const LIVE = { asksWhose: true } as const satisfies StartEvent['settings'];
const HOLD = only('static-leakage', 'applied-leakage', 'low-air-warning');

/** A hold that runs since 20 s, of 60 s. */
function holding(settings: StartEvent['settings'] = LIVE, asking: 'ask' | 'assume' = 'ask', ahead?: string): Walk {
  const plan = ahead === undefined ? HOLD : only('static-leakage', 'applied-leakage', ahead);
  const walk = new Walk(startOf({ plan, settings, asking }));
  walk.sayAll('engine-off', 'brakes-released', 'settled');
  return walk.say(needles(118, 117), { at: 18, lasting: 2 });
}

/** The first of some steps, of which the second is far off. */
const at = (step: string): Walk =>
  new Walk(startOf({ plan: only(step, 'applied-leakage', 'build-up'), settings: LIVE }));
const running = (step: string): Walk => at(step).knowing('engine-started');
const afterBreak = (): Walk =>
  running('approach')
    .send({ type: 'interrupted', at: 5000, why: 'page-closed' })
    .send({ type: 'resumed', at: 5000, wall: '2026-05-04T07:41:00Z' });

/** An applied hold that runs. */
const applied = (): Walk =>
  new Walk(startOf({ plan: only('applied-leakage', 'build-up'), settings: LIVE }))
    .knowing('engine-off', 'brakes-released')
    .sayAll('brake-applied', 'settled', needles(110, 110));

/** The service brake test after a tug test in which the rig held. */
function held(): Walk {
  const walk = new Walk(startOf({ plan: only('final-fill', 'tug-test', 'service-brake-test'), settings: LIVE }));
  walk.sayAll('engine-started parking-brake-set', 'cut-out', needles(124, 123), 'fast-idle-off');
  return walk.sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
}

describe('words that the operator had no cause for', () => {
  it('are asked about, and count against what is measured until somebody says whose they are', () => {
    const walk = holding().say('engine-started', { at: 40 });
    expect(walk.last).toEqual([{ type: 'whose', cue: 'engine-started' }]);
    expect(walk.state.phase).toBe('wondering');
    expect(listensFor(walk.state)).toContain('hold');
    // Nothing of the hold is left that could pass.
    expect(walk.waitTo(85).all.map(({ type }) => type)).not.toContain('call-needles');
    expect(walk.state.progress).toMatchObject({ readings: [], repeatBecause: 'contradicted' });
  });

  it('that were somebody else’s leave the hold as it was, to the ms, and are told of beside it', () => {
    const walk = holding().say('engine-started', { at: 40 }).say('no', { at: 43 });
    expect(walk.state.phase).toBe('holding');
    walk.waitTo(80).say(needles(117, 116), { at: 81 });
    const [hold] = walk.state.records;
    expect(hold?.result.verdict).toBe('pass');
    expect(hold?.result.figures.interval?.value).toBe(61);
    expect(hold?.result.flags).toContain('“engine-started” was heard, and was not the operator’s');
    expect(walk.state.callouts.find(({ heard }) => heard === 'engine-started')?.taken).toBe(false);
  });

  it('that were the operator’s are what they always were', () => {
    const asked = holding().say('engine-started', { at: 40 }).say('yes', { at: 43 });
    const plain = holding({}).say('engine-started', { at: 40 });
    expect(asked.last).toEqual(plain.last);
    const { cab, progress } = plain.state;
    expect(asked.state).toMatchObject({ cab, progress, phase: 'listening' });
  });

  it('to which nothing is answered stand: needles called meanwhile begin no hold and close none', () => {
    const walk = holding().say('engine-started', { at: 40 }).waitTo(80).say(needles(117, 116), { at: 81 });
    expect(walk.last.map(({ type }) => type)).toContain('contradicted');
    expect(walk.state.records).toEqual([]);
    walk.send({ type: 'end', at: 120_000 });
    expect(walk.state.records[0]?.result).toMatchObject({ verdict: 'not judged' });
    expect(walk.state.records[0]?.result.reason).toMatch(/engine-started/);
  });

  it('that would fail a step behind fail it only if they were the operator’s', () => {
    const verdict = (walk: Walk): string | undefined =>
      walk.state.records.find(({ id }) => id === 'tug-test')?.result.verdict;
    expect(verdict(held())).toBe('pass');
    const asked = held().say('rig-moved');
    expect(asked.last).toEqual([{ type: 'whose', cue: 'rig-moved' }]);
    expect(verdict(asked)).toBe('not judged');
    expect(verdict(held().say('rig-moved').say('yes'))).toBe('fail');
    expect(verdict(held().say('rig-moved').say('no'))).toBe('pass');
    const ignored = held().say('rig-moved').say('straight-stop');
    expect(ignored.last.map(({ type }) => type)).toContain('left');
    expect(verdict(ignored)).toBe('not judged');
    ignored.say('check-complete');
    expect(ignored.state.verdict).toBe('incomplete');
  });

  it('of the engine are asked about where no condition speaks of it: the next test would rest on them', () => {
    const walk = new Walk(startOf({ plan: only('approach', 'governor-cut-out'), settings: LIVE }));
    walk.say('engine-started').say('engine-off');
    expect(walk.last).toEqual([{ type: 'whose', cue: 'engine-off' }]);
    expect(walk.say('no').state.cab.engine?.is).toBe('running');
  });

  it.each([
    ['that were pressed', 'engine-started', { source: 'touch' }],
    ['said with what the step waits for', 'brake-applied engine-started', {}],
    ['with which the operator goes on', 'brake-applied', {}],
  ] as const)('are none %s', (_why, said, more) => {
    expect(
      holding()
        .say(said, { at: 40, ...more })
        .last.map(({ type }) => type),
    ).not.toContain('whose');
  });

  it('in a pause are asked about when it ends, and count meanwhile: what is said in one may be anybody’s', () => {
    const paused = (): Walk => holding().say('pause', { at: 30 }).say('engine-started', { at: 34 });
    expect(paused().last).toEqual([]);
    expect(view(paused().state).whose).toBeUndefined();
    expect(paused().state.cab.engine?.is).toBe('running');
    const resumed = (): Walk => paused().say('resume', { at: 40 });
    expect(resumed().last).toEqual([{ type: 'resumed' }, { type: 'whose', cue: 'engine-started' }]);
    expect(view(resumed().say('no').state).needed).toEqual([]);
    expect(view(resumed().say('yes').state).needed).toEqual(['engine-off', 'settled']);
    // Needles that are no answer begin no hold: the engine may be running.
    expect(resumed().say(needles(117, 116)).state.phase).toBe('listening');
    const walk = resumed().say('no').say(needles(117, 116), { at: 50 }).waitTo(110).say(needles(116, 116), { at: 112 });
    expect(walk.verdict('static-leakage')).toBe('pass');
    expect(replay(walk.events)).toEqual(walk.state);
  });

  it('in a pause leave nothing known of the cab after two minutes of it, whosever they were', () => {
    for (const said of ['yes', 'no']) {
      const walk = holding().say('pause', { at: 30 }).say('engine-started', { at: 34 }).say('resume', { at: 400 });
      expect(view(walk.say(said).state).needed).toEqual(['engine-off', 'brakes-released', 'settled']);
    }
  });

  it('in a pause fail nothing behind it unasked, and are no pass however it ends', () => {
    const moved = (): Walk => held().say('pause').say('rig-moved');
    expect(moved().say('resume').say('yes').verdict('tug-test')).toBe('fail');
    expect(moved().say('resume').say('no').verdict('tug-test')).toBe('pass');
    for (const goesOn of [
      ['resume', 'straight-stop'],
      ['brakes-released', 'resume', 'no'],
      ['stop-check', 'no'],
      ['stop-check', 'yes'],
    ])
      expect(
        moved()
          .sayAll(...goesOn)
          .verdict('tug-test'),
        goesOn.join(', '),
      ).toBe('not judged');
    const back = moved().send({ type: 'resumed', at: 90_000, wall: '2026-05-04T07:31:30Z' });
    expect(back.say('resume').verdict('tug-test')).toBe('not judged');
  });

  it('in a pause are not asked about where they say nothing against what is known', () => {
    const walk = holding().say('pause', { at: 30 }).sayAll('engine-off', 'fast-idle-off', needles(90, 90), 'resume');
    expect(walk.all.map(({ type }) => type)).not.toContain('whose');
  });

  it('that a note was made of are asked about, and count until they are known for somebody else’s', () => {
    const noted = (): Walk => holding().say('note', { at: 28 }).say('engine-started', { at: 32 });
    expect(noted().last).toEqual([{ type: 'note-taken' }, { type: 'whose', cue: 'engine-started' }]);
    expect(noted().state.progress).toMatchObject({ readings: [], repeatBecause: 'contradicted' });
    expect(noted().say('yes').state.progress.repeatBecause).toBe('contradicted');
    const walk = noted().say('no', { at: 36 });
    expect(walk.state.phase).toBe('holding');
    expect(walk.waitTo(80).say(needles(117, 116), { at: 81 }).verdict('static-leakage')).toBe('pass');
    expect(replay(walk.events)).toEqual(walk.state);
    // Nor does a note fail a step unasked.
    expect(held().sayAll('note', 'rig-moved').verdict('tug-test')).toBe('not judged');
    expect(held().sayAll('note', 'rig-moved', 'yes').verdict('tug-test')).toBe('fail');
    // A note that speaks against nothing is none of anybody’s business.
    expect(holding().sayAll('note', 'chocks-set').types).toEqual(['note-taken']);
  });

  it.each<[string, Walk, Said, Partial<CalloutEvent>, boolean]>([
    ['said with needles', holding(), { cues: ['engine-started'], reading: needles(117, 116) }, {}, false],
    ['said as a correction', holding(), { cues: ['engine-started'], command: 'correction' }, {}, true],
    ['said so in a note', holding().say('note'), { cues: ['engine-started'], command: 'correction' }, {}, false],
    ['said after a correction', holding().say('correction'), 'engine-started', {}, false],
    ['said in a recording', holding(LIVE, 'assume'), 'engine-started', {}, false],
    ['said in a transcript', holding(), 'engine-started', { source: 'transcript' }, false],
    ['said of a foot that was set down anew', applied(), 'pedal-released', {}, true],
    ['said of a foot that was taken off anew', holding(), 'pedal-released', {}, true],
    ['said of a rig that moves in a step ahead', holding(LIVE, 'ask', 'tug-test'), 'rig-moved', {}, true],
    ['said of what no step ahead can see', holding(), 'pulled-left', {}, false],
    ['said of an engine that the step wants off', running('low-air-warning'), 'engine-off', {}, false],
    ['said of an engine that runs', running('approach'), 'engine-off', {}, true],
    ['said of an engine of which nothing is known', at('approach'), 'engine-off', {}, false],
    ['said of brakes that are set', at('approach').knowing('parking-brake-set'), 'brakes-released', {}, true],
    ['said of chocks', at('approach').knowing('chocks-stowed'), 'chocks-set', {}, false],
    ['said of an engine after a long break', afterBreak(), 'engine-off', {}, false],
  ])('%s', (_, walk, said, more, asked) => {
    expect(walk.say(said, more).types.includes('whose')).toBe(asked);
  });

  it('are marked as taken unless they were somebody else’s', () => {
    const marked = (...said: readonly Said[]): boolean | undefined => {
      const walk = holding()
        .say('engine-started', { at: 40 })
        .sayAll(...said);
      return walk.state.callouts.find(({ heard }) => heard === 'engine-started')?.taken;
    };
    expect([marked(), marked('yes'), marked('no'), marked(needles(117, 116))]).toEqual([false, true, false, true]);
  });

  it('are asked about again when that is wanted, and how long is left is told meanwhile', () => {
    const walk = holding().say('engine-started', { at: 40 });
    expect(walk.say('say-again').last).toEqual([{ type: 'whose', cue: 'engine-started' }]);
    expect(walk.say('how-long').types).toEqual(['not-here']);
    for (const command of ['listen-open', 'listen-push'] as const) walk.say({ cues: [], command });
    expect(walk.state.phase).toBe('wondering');
  });

  it('come out the same from the log', () => {
    const walk = holding().say('engine-started', { at: 40 }).murmur('radio', { at: 41 }).say('no', { at: 43 });
    walk.waitTo(80).say(needles(117, 116), { at: 81 });
    expect(replay(walk.events)).toEqual(walk.state);
  });
});
