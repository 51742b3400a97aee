import { describe, expect, it } from 'vitest';
import type { StartEvent } from '../../../src/check/event.ts';
import { listensFor } from '../../../src/check/listens-for.ts';
import { replay } from '../../../src/check/machine.ts';
import { needles, only, startOf, Walk } from './support/say.ts';

const LIVE = { asksWhose: true } as const satisfies StartEvent['settings'];
const HOLD = only('static-leakage', 'applied-leakage', 'low-air-warning');

/** A hold that runs since 20 s, of 60 s. */
function holding(settings: StartEvent['settings'] = LIVE): Walk {
  const walk = new Walk(startOf({ plan: HOLD, settings }));
  walk.sayAll('engine-off', 'brakes-released', 'settled');
  return walk.say(needles(118, 117), { at: 18, lasting: 2 });
}

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

  it('come out the same from the log', () => {
    const walk = holding().say('engine-started', { at: 40 }).murmur('radio', { at: 41 }).say('no', { at: 43 });
    walk.waitTo(80).say(needles(117, 116), { at: 81 });
    expect(replay(walk.events)).toEqual(walk.state);
  });
});
