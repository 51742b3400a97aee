import { describe, expect, it } from 'vitest';
import { nextDeadline } from '../../../src/check/deadline.ts';
import { view } from '../../../src/check/view.ts';
import { needles, only, primary, secondary, startOf, Walk, type Said } from './support/say.ts';

/** The static leakage step with its conditions called; the first reading ends at 20 s, so the hold is over at 80 s. */
function holding(first: Said = needles(118, 117), countAloud = true): Walk {
  const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage'), settings: { countAloud } }));
  walk.sayAll('engine-off', 'brakes-released', 'settled');
  return walk.say(first, { at: 18, lasting: 2 });
}

describe('a hold', () => {
  it('runs from the end of the words of the first reading, for the length that the plan gives', () => {
    const walk = holding();
    expect(walk.state.phase).toBe('holding');
    expect(view(walk.state).hold).toEqual({ start: 20_000, due: 80_000 });
    expect(walk.types).toEqual(['read-back', 'hold-started']);
  });

  it('counts at 30 s, at 10 s and the last five, calls for the needles when it is over, and once more when they do not come', () => {
    const walk = holding();
    const heard: unknown[] = [];
    for (let due = nextDeadline(walk.state); due !== undefined; due = nextDeadline(walk.state)) {
      walk.send({ type: 'time', at: due });
      heard.push([due / 1000, ...walk.last.map((answer) => ('seconds' in answer ? answer.seconds : answer.type))]);
    }
    expect(heard).toEqual([
      [50, 30],
      [70, 10],
      [75, 5],
      [76, 4],
      [77, 3],
      [78, 2],
      [79, 1],
      [80, 'call-needles'],
      [100, 'call-needles'],
    ]);
  });

  it('calls for the needles in other words the second time', () => {
    const walk = holding().waitTo(80);
    expect(walk.last).toEqual([{ type: 'call-needles' }]);
    expect(walk.waitTo(100).last).toEqual([{ type: 'call-needles', again: true }]);
  });

  it('goes on when the engine died and was replaced, since the sound was not lost', () => {
    const walk = holding().waitTo(40).send({ type: 'engine-restarted', at: 40_500, engine: 'vosk' });
    expect(walk.last).toEqual([]);
    expect(view(walk.state).hold).toEqual({ start: 20_000, due: 80_000 });
    walk.waitTo(80).say(needles(117, 116), { at: 80 });
    expect(walk.verdict('static-leakage')).toBe('pass');
  });

  it('of 30 s is not counted from its very beginning', () => {
    const plan = only('static-leakage');
    const steps = plan.steps.map((step) => ({ ...step, holdSeconds: 30 }));
    const walk = new Walk(startOf({ plan: { ...plan, steps } })).sayAll('engine-off', 'brakes-released', 'settled');
    walk.say(needles(118, 117), { at: 18, lasting: 2 });
    expect(nextDeadline(walk.state)).toBe(40_000);
  });

  it('only calls for the needles when the count is switched off', () => {
    expect(nextDeadline(holding(needles(118, 117), false).state)).toBe(80_000);
  });

  it('says only the latest word when a page that slept learns of the time at once', () => {
    const walk = holding().send({ type: 'time', at: 77_400 });
    expect(walk.last).toEqual([{ type: 'time-left', seconds: 3 }]);
  });

  it('takes the closing reading at the first millisecond after its length', () => {
    const walk = holding().waitTo(80).say(needles(117, 116), { at: 80 });
    expect(walk.verdict('static-leakage')).toBe('pass');
    const [record] = walk.state.records;
    expect(record?.result.figures.interval?.value).toBe(60);
  });

  it('takes needles called up to 3 s before its end, judged by the rate', () => {
    const walk = holding().say(needles(117, 116), { at: 77, lasting: 2 });
    const [record] = walk.state.records;
    expect(record?.result).toMatchObject({ verdict: 'pass', figures: { primaryRate: { value: 60 / 57 } } });
    expect(record?.result.reason).toContain('called at 57 s of 60 s, so the rate counts');
  });

  it('is not closed by needles called a millisecond sooner: it says how long is left and goes on holding', () => {
    const walk = holding().say(needles(117, 116), { at: 76.999, lasting: 2 });
    expect(walk.last).toMatchObject([{ type: 'read-back' }, { type: 'hold-not-over', seconds: 2 }]);
    expect(walk.state.phase).toBe('holding');
    expect(walk.state.progress.within).toMatchObject([needles(117, 116)]);
    walk.say(needles(117, 116), { at: 84 });
    expect(walk.verdict('static-leakage')).toBe('pass');
  });

  it('tells how long is left in the middle of it, asked or not', () => {
    const walk = holding().say('how-long', { at: 40, lasting: 1 });
    expect(walk.last).toEqual([{ type: 'time-left', seconds: 39, asked: true }]);
    walk.say(needles(118, 117), { at: 49, lasting: 1 });
    expect(walk.last).toMatchObject([{ type: 'read-back' }, { type: 'hold-not-over', seconds: 30 }]);
  });

  it('takes needles called long after it was over, and judges them by the rate', () => {
    const walk = holding().waitTo(200).say(needles(116, 115), { at: 200 });
    expect(walk.state.records[0]?.result).toMatchObject({
      verdict: 'pass',
      figures: { primaryRate: { value: 2 / 3 } },
    });
    expect(walk.state.records[0]?.result.reason).toContain('called at 180 s of 60 s, so the rate counts');
  });

  it('is closed by needles up to 15 min after its start', () => {
    expect(holding().waitTo(920).say(needles(116, 115), { at: 920 }).verdict('static-leakage')).toBe('pass');
  });

  it('is repeated from needles that come later than 15 min after its start, with the reason', () => {
    const walk = holding().say(needles(116, 115), { at: 920.001, lasting: 2 });
    expect(walk.last).toMatchObject([
      { type: 'repeat', because: 'reading-late' },
      { type: 'read-back' },
      { type: 'hold-started' },
    ]);
    expect(view(walk.state).hold).toEqual({ start: 922_001, due: 982_001 });
    walk.waitTo(983).say(needles(115, 115), { at: 983 });
    expect(walk.verdict('static-leakage')).toBe('pass');
    expect(walk.state.records[0]?.progress.readings.map(({ primary: p }) => p?.value)).toEqual([116, 115]);
  });

  it('goes by the words, not by when the time event came: a reading on its way when time ran out counts', () => {
    const walk = holding().waitTo(97).say(needles(117, 116), { at: 94, lasting: 2 });
    expect(walk.verdict('static-leakage')).toBe('pass');
  });

  it('keeps a first reading that is called just before the last condition', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') }));
    walk.sayAll('engine-off', 'brakes-released').say(needles(118, 117), { at: 10, lasting: 2 });
    expect(walk.last).toMatchObject([
      { type: 'read-back' },
      { type: 'still-needed', cues: ['settled'], reading: true },
    ]);
    walk.say('settled', { at: 14 });
    expect(view(walk.state).hold).toEqual({ start: 12_000, due: 72_000 });
  });

  it('does not count a first reading from long before its conditions were met', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') }));
    walk.sayAll('engine-off', 'brakes-released').say(needles(118, 117), { at: 10, lasting: 2 });
    walk.say('settled', { at: 30 });
    expect(walk.last).toMatchObject([{ type: 'repeat', because: 'conditions-late' }, { type: 'noted' }]);
    expect(walk.state.phase).toBe('listening');
  });

  it('calls for no needles while those that close it are asked about', () => {
    const walk = holding().waitTo(80).say(needles(110, 116), { at: 81 });
    expect(walk.types).toEqual(['question']);
    expect(walk.send({ type: 'time', at: 120_000 }).types).toEqual([]);
  });

  it('is closed by needles that come before the words of the next step in one breath', () => {
    const walk = holding().waitTo(80);
    walk.say({ cues: ['brake-applied'], reading: needles(117, 116), before: 0 }, { at: 81 });
    expect(walk.verdict('static-leakage')).toBe('pass');
    expect(walk.state.progress.cues).toEqual(['brake-applied']);
    const moment = new Walk(startOf({ plan: only('low-air-warning', 'spring-brake-activation') })).knowing(
      'engine-off',
    );
    moment.say({ cues: ['buzzer', 'valve-popped'], reading: needles(62, 63), before: 1 });
    expect(moment.verdict('low-air-warning')).toBe('pass');
    expect(moment.state.progress.outcome?.cue).toBe('valve-popped');
  });

  it('is begun by no needles that its conditions follow in the same breath', () => {
    const said = (before?: number): Walk =>
      new Walk(startOf({ plan: only('static-leakage') })).say({
        cues: ['engine-off', 'brakes-released', 'settled'],
        reading: needles(120, 120),
        ...(before === undefined ? {} : { before }),
      });
    expect(said().state.phase).toBe('holding');
    for (const before of [0, 1]) {
      const walk = said(before);
      expect(walk.state.phase).toBe('listening');
      expect(walk.say(needles(120, 120)).state.phase).toBe('holding');
    }
    // What is known already, and needles that have settled, may be said once more behind them.
    const again = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released');
    again.say({ cues: ['engine-off', 'settled'], reading: needles(120, 120), before: 0 });
    expect(again.state.phase).toBe('holding');
  });

  it('is left alone by a condition that is called again', () => {
    const walk = holding().say('settled', { at: 40 });
    expect(walk.types).toEqual([]);
    expect(view(walk.state).hold).toEqual({ start: 20_000, due: 80_000 });
  });

  it('is repeated after the microphone was lost, and says why', () => {
    const walk = holding().send({ type: 'interrupted', at: 50_000, why: 'microphone-lost' });
    expect(walk.last).toMatchObject([{ type: 'repeat', because: 'microphone-lost' }]);
    expect(walk.state.phase).toBe('listening');
    expect(view(walk.state).repeatBecause).toBe('microphone-lost');
    walk.say(needles(117, 116), { at: 60, lasting: 2 });
    expect(view(walk.state).hold).toEqual({ start: 62_000, due: 122_000 });
  });

  it('takes a closing reading in two callouts, from the onset of the first', () => {
    const walk = holding().waitTo(80).say(primary(117), { at: 80.5, lasting: 1 });
    expect(walk.types).toEqual([]);
    walk.say(secondary(116), { at: 84, lasting: 1 });
    expect(walk.verdict('static-leakage')).toBe('pass');
    expect(walk.state.records[0]?.result.figures.interval?.value).toBe(60.5);
  });

  it('asks for the circuit that stays missing', () => {
    const walk = holding().waitTo(80).say(secondary(116), { at: 81, lasting: 1 }).waitTo(88);
    expect(walk.last).toEqual([{ type: 'missing-circuit', circuit: 'primary' }]);
    walk.say(primary(117), { at: 90 });
    expect(walk.verdict('static-leakage')).toBe('pass');
  });

  it('takes both needles called at once at their own time, also after one that was called alone', () => {
    const walk = holding().waitTo(80).say(secondary(116), { at: 81, lasting: 1 });
    walk.say(needles(117, 116), { at: 85, lasting: 1 });
    expect(walk.state.records[0]?.result.figures.interval?.value).toBe(65);
  });
});

describe('a hold under way when the check ends', () => {
  const reasonOf = (walk: Walk): string | undefined =>
    walk.send({ type: 'end', at: 200_000 }).state.records[0]?.result.reason;

  it('says that its closing reading was not called', () => {
    expect(reasonOf(holding())).toBe('not finished: no needles were called when the hold of 60 s was over');
  });

  it('says why it was to be repeated', () => {
    const walk = holding().send({ type: 'interrupted', at: 50_000, why: 'microphone-lost' });
    expect(reasonOf(walk)).toBe('not finished: the microphone was lost, and it was not repeated');
  });

  it('says nothing more where nothing was measured', () => {
    expect(reasonOf(new Walk(startOf({ plan: only('static-leakage') })))).toBe('not finished');
  });
});
