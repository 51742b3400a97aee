import { describe, expect, it } from 'vitest';
import { view } from '../../../src/check/view.ts';
import { FULL, needles, only, startOf, Walk } from './support/say.ts';

describe('go back', () => {
  it('from a fresh step drops the result of the step before and begins it anew; what was said stays', () => {
    const walk = new Walk().sayAll(
      'chocks-set',
      'walk-round-complete',
      'mirrors-set',
      'ignition-on',
      needles(75, 74),
      'engine-started',
    );
    expect(walk.step).toBe('governor-cut-out');
    walk.say('go-back');
    expect(walk.types).toEqual(['went-back', 'brief']);
    expect(walk.step).toBe('pre-start-fill');
    expect(walk.verdict('pre-start-fill')).toBeUndefined();
    expect(walk.verdict('approach')).toBe('pass');
    expect(walk.state.callouts).toHaveLength(7);
    walk.sayAll(needles(77, 76), 'engine-started');
    expect(walk.state.records[1]?.result.figures.primary?.value).toBe(77);
  });

  it('in the middle of a step begins that step anew', () => {
    const walk = new Walk().sayAll('chocks-set', 'mirrors-set', 'go-back');
    expect(walk.step).toBe('approach');
    expect(view(walk.state).heard).toEqual([]);
  });

  it('over the ignition cue starts the clock anew', () => {
    const walk = new Walk().sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on', 'go-back');
    expect(walk.step).toBe('approach');
    expect(walk.state.clock).toEqual({});
    walk.say('ignition-on', { at: 100 });
    expect(walk.state.clock).toEqual({ start: 100_000 });
  });
});

describe('skip', () => {
  it('asks why, and leaves the step without a verdict for that reason', () => {
    const walk = new Walk(startOf({ plan: only('tug-test', 'service-brake-test') })).say('skip');
    expect(walk.types).toEqual(['ask-skip-reason']);
    expect(walk.state.phase).toBe('skipping');
    walk.say({ cues: [], reason: 'no-room' });
    expect(walk.state.records).toMatchObject([
      { id: 'tug-test', outcome: 'skipped', result: { verdict: 'not judged', reason: 'skipped, no room' } },
    ]);
    walk.sayAll('straight-stop', 'check-complete');
    expect(walk.state.verdict).toBe('incomplete');
  });

  it('takes the reason in the same callout', () => {
    const walk = new Walk(startOf({ plan: only('tug-test', 'service-brake-test') })).say({
      cues: [],
      command: 'skip',
      reason: 'weather',
    });
    expect(walk.types).toEqual(['skipped', 'brief']);
    expect(walk.step).toBe('service-brake-test');
  });

  it('is called off by a no, or by going on with the step', () => {
    expect(new Walk().sayAll('skip', 'no').state).toMatchObject({ phase: 'listening', records: [] });
    expect(view(new Walk().sayAll('skip', 'mirrors-set').state).heard).toEqual(['mirrors-set']);
  });
});

describe('pause', () => {
  it('holds everything until resume, and repeats a hold that was running', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll(
      'engine-off',
      'brakes-released',
      'settled',
      needles(118, 117),
    );
    walk.say('pause');
    expect(walk.types).toEqual(['paused']);
    walk.say(needles(117, 116), { at: 90 });
    expect(walk.state.progress.readings).toEqual([]);
    walk.say('resume');
    expect(walk.last).toMatchObject([{ type: 'resumed' }, { type: 'repeat', because: 'paused' }]);
    walk.say(needles(117, 116), { at: 110 });
    expect(walk.state.phase).toBe('holding');
  });

  it('keeps the cues and the plain reading of a step', () => {
    const walk = new Walk(startOf({ plan: only('pre-start-fill') })).sayAll(needles(75, 74), 'pause', 'resume');
    expect(walk.last).toMatchObject([
      { type: 'resumed' },
      { type: 'still-needed', cues: ['engine-started'], reading: false },
    ]);
    expect(walk.say('engine-started').verdict('pre-start-fill')).toBe('pass');
  });
});

describe('stop the check', () => {
  it('asks once; yes ends it incomplete, with what was judged so far', () => {
    const walk = new Walk().sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on', 'stop-check');
    expect(walk.types).toEqual(['ask-stop']);
    walk.say('yes');
    expect(walk.last).toMatchObject([{ type: 'finished', verdict: 'incomplete', stopped: true }]);
    expect(walk.verdict('approach')).toBe('pass');
    expect(walk.state.records.filter(({ outcome }) => outcome === 'unfinished')).toHaveLength(12);
    expect(walk.state.records).toHaveLength(FULL.steps.length);
  });

  it('goes on after a no, or with the next callout; a hold keeps running meanwhile', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll(
      'engine-off',
      'brakes-released',
      'settled',
      needles(118, 117),
    );
    walk.sayAll('stop-check', 'no');
    expect(walk.state.phase).toBe('holding');
    walk
      .say('stop-check')
      .waitTo(walk.time + 60)
      .say(needles(117, 116));
    expect(walk.verdict('static-leakage')).toBe('pass');
  });
});

describe('a note', () => {
  it('takes the next words as they are, whatever they would mean, but for needles: nobody would miss those', () => {
    const walk = new Walk(startOf({ plan: only('governor-cut-out') })).knowing('engine-started');
    walk.sayAll('note', { cues: ['buzzer'] });
    expect(walk.types).toEqual(['note-taken']);
    expect(walk.state.callouts.at(-1)).toMatchObject({ note: true });
    walk.sayAll('note', { cues: ['cut-out'], reading: needles(124, 123) });
    expect(walk.verdict('governor-cut-out')).toBe('pass');
  });
});

describe('say again', () => {
  it('repeats the last that mattered', () => {
    const walk = new Walk().sayAll('chocks-set', 'say-again');
    expect(walk.last).toMatchObject([{ type: 'again', answer: { type: 'brief', step: { id: 'approach' } } }]);
  });
});

describe('a page that was closed', () => {
  it('comes back to the same step with earlier results, and repeats the hold with the reason', () => {
    const walk = new Walk(startOf({ plan: only('governor-cut-in', 'static-leakage') }))
      .knowing('engine-started')
      .sayAll('cut-in', needles(98, 97));
    walk.send({ type: 'interrupted', at: 12_000, why: 'page-closed' });
    walk.send({ type: 'resumed', at: 13_000, wall: '2026-05-04T07:30:43Z' });
    expect(walk.last).toMatchObject([{ type: 'resumed' }, { type: 'brief', step: { id: 'static-leakage' } }]);
    walk.sayAll('engine-off', 'brakes-released', 'settled').say(needles(97, 96), { at: 30, lasting: 2 });
    expect(walk.state.phase).toBe('holding');
    walk
      .send({ type: 'interrupted', at: 50_000, why: 'page-closed' })
      .send({ type: 'resumed', at: 51_000, wall: '2026-05-04T07:31:51Z' });
    expect(walk.last).toMatchObject([{ type: 'resumed' }, { type: 'repeat', because: 'page-closed' }]);
    expect(walk.verdict('governor-cut-in')).toBe('pass');
    expect(view(walk.state).needed).toEqual([]);
  });

  it('wants to be told of the cab again when it was closed for long', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released', 'settled');
    walk
      .send({ type: 'interrupted', at: 20_000, why: 'page-closed' })
      .send({ type: 'resumed', at: 21_000, wall: '2026-05-04T07:41:00Z' });
    expect(view(walk.state).needed).toEqual(['engine-off', 'brakes-released', 'settled']);
  });
});

describe('cues', () => {
  it('come in any order, and one heard again is harmless', () => {
    const walk = new Walk().sayAll('mirrors-set', 'mirrors-set', 'chocks-set', 'ignition-on walk-round-complete');
    expect(walk.step).toBe('pre-start-fill');
  });

  it('that belong to another step are answered with what this one needs', () => {
    const walk = new Walk().say('rig-held');
    expect(walk.last).toMatchObject([
      { type: 'still-needed', cues: ['chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on'] },
    ]);
    expect(walk.state.callouts[0]?.taken).toBe(false);
  });

  it('that come after the readings do not count before them', () => {
    const walk = new Walk(startOf({ plan: only('final-fill') }))
      .knowing('engine-started')
      .sayAll('cut-out', 'fast-idle-off', needles(125, 125));
    expect(walk.step).toBe('final-fill');
    expect(walk.say('fast-idle-off').verdict('final-fill')).toBe('pass');
  });

  it('with the needles in one callout finish a step', () => {
    const walk = new Walk(startOf({ plan: only('final-fill') })).knowing('engine-started').say({
      cues: ['cut-out', 'fast-idle-off'],
      reading: needles(125, 125),
    });
    expect(walk.verdict('final-fill')).toBe('pass');
  });
});
