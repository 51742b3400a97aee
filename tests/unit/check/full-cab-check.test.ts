import { describe, expect, it } from 'vitest';
import { replay } from '../../../src/check/machine.ts';
import { view } from '../../../src/check/view.ts';
import { needles, primary, secondary, startOf, TENDER_34, Walk } from './support/say.ts';

/** A whole check on a rig in order. The numbers are common practice, no source. */
function soundRig(walk: Walk): Walk {
  walk.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on');
  walk.sayAll(needles(75, 74), 'engine-started');
  walk.say({ cues: ['cut-out'], ...{ reading: needles(124, 123) } });
  walk.sayAll('cut-in', needles(98, 97));
  walk.sayAll('cut-out', needles(125, 124));
  walk.sayAll('engine-off', 'brakes-released', 'settled', needles(118, 117));
  walk.waitTo(walk.time + 60).sayAll(needles(117, 116));
  walk.sayAll('brake-applied', 'settled', needles(107, 106));
  walk.waitTo(walk.time + 60).sayAll(needles(106, 105));
  walk.sayAll('buzzer', needles(66, 68), 'valve-popped', needles(37, 38));
  walk.sayAll('engine-started', 'fast-idle-set', needles(85, 85));
  walk.waitTo(walk.time + 28).sayAll(needles(100, 100));
  walk.sayAll('cut-out', needles(125, 125), 'fast-idle-off');
  return walk.sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
}

describe('a whole full cab check', () => {
  it('passes on a rig in order, without a question, and times the check from ignition to the end', () => {
    const walk = soundRig(new Walk()).sayAll('straight-stop', 'check-complete');
    expect(walk.all.filter(({ type }) => type === 'question')).toEqual([]);
    expect(walk.state.records.map(({ id, result }) => [id, result.verdict])).toEqual([
      ['approach', 'pass'],
      ['pre-start-fill', 'pass'],
      ['governor-cut-out', 'pass'],
      ['governor-cut-in', 'pass'],
      ['refill', 'pass'],
      ['static-leakage', 'pass'],
      ['applied-leakage', 'pass'],
      ['low-air-warning', 'pass'],
      ['spring-brake-activation', 'pass'],
      ['build-up', 'pass'],
      ['final-fill', 'pass'],
      ['tug-test', 'pass'],
      ['hand-valve-test', 'not judged'],
      ['service-brake-test', 'pass'],
    ]);
    expect(walk.state.phase).toBe('done');
    expect(walk.state.verdict).toBe('pass');
    const ignition = walk.state.callouts.find(({ heard }) => heard === 'ignition-on');
    const complete = walk.state.callouts.find(({ heard }) => heard === 'check-complete');
    expect(walk.state.clock).toEqual({ start: ignition?.at, end: complete?.at });
    expect(walk.last.at(-1)).toMatchObject({ type: 'finished', verdict: 'pass', stopped: false });
  });

  it('has the hand valve test on a rig that has a hand valve', () => {
    const walk = soundRig(new Walk(startOf({ rig: TENDER_34 })));
    expect(walk.step).toBe('hand-valve-test');
    walk.sayAll('brakes-released', 'hand-valve-held', 'straight-stop', 'check-complete');
    expect(walk.verdict('hand-valve-test')).toBe('pass');
    expect(walk.state.verdict).toBe('pass');
  });

  it('is failed by one failing leak, once the operator has confirmed the reading', () => {
    const walk = new Walk();
    walk.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on', needles(75, 74), 'engine-started');
    walk.sayAll('cut-out', needles(124, 123), 'cut-in', needles(98, 97), 'cut-out', needles(125, 124));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(118, 117)).waitTo(walk.time + 61);
    walk.say(needles(117, 112));
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail', reading: needles(117, 112) }]);
    expect(walk.verdict('static-leakage')).toBeUndefined();
    walk.say('yes');
    expect(walk.verdict('static-leakage')).toBe('fail');
    expect(walk.types).toEqual(['read-back', 'verdict', 'brief']);
  });

  it('gives the same state again from its log, through JSON and back', () => {
    const walk = soundRig(new Walk()).sayAll('straight-stop', 'check-complete');
    const log = JSON.parse(JSON.stringify(walk.events)) as typeof walk.events;
    expect(replay(log)).toEqual(walk.state);
    expect(structuredClone(walk.state)).toEqual(walk.state);
  });

  it('shows the screen how far the step is', () => {
    const walk = new Walk().sayAll('mirrors-set', 'chocks-set');
    expect(view(walk.state)).toMatchObject({
      phase: 'listening',
      index: 0,
      total: 13,
      heard: ['mirrors-set', 'chocks-set'],
      needed: ['walk-round-complete', 'ignition-on'],
      readingNeeded: false,
    });
    walk.sayAll('walk-round-complete', 'ignition-on', primary(75), secondary(74));
    expect(view(walk.state)).toMatchObject({
      index: 1,
      needed: ['engine-started'],
      readingNeeded: false,
      latest: needles(75, 74),
    });
  });
});
