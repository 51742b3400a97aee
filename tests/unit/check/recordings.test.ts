import { describe, expect, it } from 'vitest';
import { needles, only, startOf, Walk } from './support/say.ts';

/** A check from a recording, where nobody can answer a question. */
const recording = (...steps: string[]): Walk =>
  new Walk(startOf({ plan: only(...steps), asking: 'assume' })).knowing(
    steps[0] === 'static-leakage' ? 'engine-off' : 'engine-started',
  );

describe('in a recording', () => {
  it('a reading that would be asked about is taken with the next callout, unconfirmed, which then counts in the step after', () => {
    const walk = recording('governor-cut-in', 'refill').sayAll('cut-in', needles(80, 79));
    expect(walk.types).toEqual(['question']);
    expect(walk.rules).toEqual(expect.arrayContaining(['cut-in', 'cut-out']));
    walk.say('cut-out');
    expect(walk.verdict('governor-cut-in')).toBe('fail');
    expect(walk.step).toBe('refill');
    expect(walk.state.progress.outcome?.cue).toBe('cut-out');
    expect(walk.state.callouts.slice(1).map(({ taken, unconfirmed }) => [taken, unconfirmed])).toEqual([
      [true, undefined],
      [true, true],
      [true, undefined],
    ]);
  });

  it('a yes confirms it, a no drops it', () => {
    expect(
      recording('governor-cut-in', 'refill').sayAll('cut-in', needles(80, 79), 'yes').state.callouts[2]?.unconfirmed,
    ).toBeUndefined();
    const denied = recording('governor-cut-in', 'refill').sayAll('cut-in', needles(80, 79), 'no', needles(98, 97));
    expect(denied.verdict('governor-cut-in')).toBe('pass');
  });

  it('a correction takes the place of it', () => {
    const walk = recording('governor-cut-in', 'refill').sayAll('cut-in', needles(95, 84), {
      cues: [],
      command: 'correction',
      reading: needles(95, 94),
    });
    expect(walk.verdict('governor-cut-in')).toBe('pass');
    expect(walk.state.pending).toBeUndefined();
  });

  it('a doubtful first reading of a hold runs from its own words', () => {
    const walk = recording('static-leakage').sayAll('engine-off', 'brakes-released', 'settled');
    walk.say(needles(118, 117), { at: 18, lasting: 2, confidence: 0.01 }).say(needles(117, 116), { at: 81 });
    expect(walk.verdict('static-leakage')).toBe('pass');
    expect(walk.state.records[0]?.result.figures.interval?.value).toBe(61);
  });

  it('the end settles what is pending; what was not done is not judged', () => {
    const walk = recording('governor-cut-in', 'refill')
      .sayAll('cut-in', needles(80, 79))
      .send({ type: 'end', at: 60_000 });
    expect(walk.verdict('governor-cut-in')).toBe('fail');
    expect(walk.state.records[1]).toMatchObject({ outcome: 'unfinished', result: { verdict: 'not judged' } });
    expect(walk.state.phase).toBe('done');
    expect(walk.last.at(-1)).toMatchObject({ type: 'finished', stopped: false });
  });

  it('a skip without a reason is taken when the operator goes on', () => {
    const walk = recording('tug-test', 'service-brake-test').sayAll('skip', 'straight-stop');
    expect(walk.state.records[0]).toMatchObject({ outcome: 'skipped', result: { reason: 'skipped, no reason given' } });
    expect(walk.state.progress.outcome?.cue).toBe('straight-stop');
  });
});
