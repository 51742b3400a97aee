import { describe, expect, it } from 'vitest';
import { needles, only, startOf, Walk } from './support/say.ts';

const reasonOf = (walk: Walk, id: string): string =>
  walk.state.records.find((record) => record.id === id)?.result.reason ?? 'no record';

describe('why a measurement does not count, in words', () => {
  const cutOut = (asking: 'ask' | 'assume' = 'assume'): Walk =>
    new Walk(startOf({ plan: only('governor-cut-out'), asking }));

  it('what must be known, and nobody has called', () => {
    const walk = cutOut().sayAll('cut-out', needles(124, 123));
    expect(walk.verdict('governor-cut-out')).toBe('not judged');
    expect(reasonOf(walk, 'governor-cut-out')).toBe(
      'Not known: engine running. Nothing that was called says so; go back and repeat the measurement.',
    );
  });

  it('what was known before a break of minutes, and is no more', () => {
    const walk = cutOut().knowing('engine-started');
    walk.send({ type: 'interrupted', at: 10_000, why: 'page-closed' });
    walk.send({ type: 'resumed', at: 10_000, wall: '2026-05-04T07:35:00Z' });
    walk.say('cut-out', { at: 20 }).say(needles(124, 123));
    expect(reasonOf(walk, 'governor-cut-out')).toMatch(
      /^Not known any more: engine running\. “.*” was called before a long break; go back and repeat the measurement\.$/,
    );
  });

  it('the callout that speaks against it', () => {
    const walk = new Walk(startOf({ plan: only('low-air-warning'), asking: 'assume' })).knowing('engine-started');
    walk.sayAll('buzzer', needles(66, 68));
    expect(reasonOf(walk, 'low-air-warning')).toMatch(
      /^“.*” was called, and the condition is engine off; go back and repeat the measurement\.$/,
    );
  });

  it('needles that cannot follow from those before, where nobody could be asked', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage'), asking: 'assume' }));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(108, 107));
    walk
      .waitTo(walk.time + 60)
      .say(needles(118, 107))
      .send({ type: 'end', at: 900_000 });
    const { result } = walk.state.records[0]!;
    expect(result.verdict).toBe('not judged');
    expect(result.reason).toBe(
      'Primary 118 psi, secondary 107 psi can hardly follow from the needles before, and nobody could be asked; repeat it.',
    );
    expect(result.flags).toEqual([
      'Primary 118 psi, secondary 107 psi can hardly follow from the needles before; nobody could be asked',
    ]);
  });

  it('but needles that fail the hold fail it, however little they can be believed', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage'), asking: 'assume' }));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(118, 117));
    walk
      .waitTo(walk.time + 60)
      .say(needles(30, 117))
      .send({ type: 'end', at: 900_000 });
    expect(walk.state.records[0]?.result).toMatchObject({
      verdict: 'fail',
      flags: ['Primary 30 psi, secondary 117 psi can hardly follow from the needles before; nobody could be asked'],
    });
  });

  it('and where somebody could, and confirmed them, they are told of', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') }));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(108, 107));
    walk
      .waitTo(walk.time + 60)
      .say(needles(118, 107))
      .say('yes');
    expect(walk.state.records[0]?.result.flags).toEqual([
      'Primary 118 psi, secondary 107 psi can hardly follow from the needles before; confirmed when asked',
    ]);
  });
});

describe('what was called as gone wrong', () => {
  it('fails its step whatever is known of the cab: a rig that moved is no measurement to be repeated', () => {
    for (const asking of ['ask', 'assume'] as const) {
      const walk = new Walk(startOf({ plan: only('tug-test'), asking }));
      walk.sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-moved').send({ type: 'end', at: 900_000 });
      expect(walk.verdict('tug-test')).toBe('fail');
    }
  });
});

describe('a callout that belongs to the next step', () => {
  const begun = (asking: 'ask' | 'assume'): Walk =>
    new Walk(startOf({ plan: only('approach', 'pre-start-fill'), asking })).sayAll('chocks-set', 'engine-started');

  it('leaves a step that was begun behind in a recording, where nobody can be told what is missing', () => {
    expect(begun('assume').step).toBe('pre-start-fill');
    expect(begun('assume').verdict('approach')).toBe('not judged');
  });

  it('waits in a live check, which says what is missing', () => {
    expect(begun('ask').step).toBe('approach');
  });
});
