import { describe, expect, it } from 'vitest';
import { replay } from '../../../src/check/machine.ts';
import { view } from '../../../src/check/view.ts';
import { needles, only, startOf, TENDER_34, Walk } from './support/say.ts';

const PLAN = only('governor-cut-out', 'final-fill', 'tug-test', 'hand-valve-test', 'service-brake-test');
const LIVE = { countAloud: true, stillAfterFail: true } as const;

/** A cut-out of 140 psi, above what the profile allows, asked about and confirmed. */
const failed = (settings: { stillAfterFail?: boolean } = LIVE, rig = TENDER_34): Walk =>
  new Walk(startOf({ plan: PLAN, rig, settings }))
    .knowing('engine-started')
    .sayAll('cut-out', needles(140, 139), 'yes');

describe('the question before a fail', () => {
  it('carries the number against its limit', () => {
    const walk = new Walk(startOf({ plan: PLAN, settings: LIVE })).knowing('engine-started');
    walk.sayAll('cut-out', needles(140, 139));
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail', fails: { verdict: 'fail' } }]);
    expect(view(walk.state).question?.fails?.reason).toMatch(/140/);
  });

  it('carries none when the needles were only heard badly', () => {
    const walk = new Walk(startOf({ plan: PLAN, settings: LIVE })).knowing('engine-started');
    walk.say('cut-out').say(needles(120, 119), { confidence: 0.1 });
    expect(walk.last).toMatchObject([{ type: 'question', because: 'low-confidence' }]);
    expect(walk.last[0]).not.toHaveProperty('fails');
  });
});

describe('after a fail', () => {
  it('is a fork, until something of the next step is called', () => {
    const walk = failed();
    expect(walk.types).toEqual(['read-back', 'verdict', 'fork', 'brief']);
    expect(view(walk.state).fork).toMatchObject({ title: 'Governor cut-out', result: { verdict: 'fail' } });
    expect(view(walk.say('cut-out').state).fork).toBeUndefined();
  });

  it('“go back” measures again, and what failed before is not forgotten', () => {
    const walk = failed().sayAll('go-back', 'cut-out', needles(120, 119));
    expect(walk.verdict('governor-cut-out')).toBe('marginal');
    expect(view(walk.state).fork).toBeUndefined();
    walk.sayAll('cut-out', needles(121, 120), 'fast-idle-off');
    expect(walk.step).toBe('tug-test');
  });

  it('the tests that move the rig are left out with that reason, and the check has failed', () => {
    const walk = failed().sayAll('cut-out', needles(140, 139), 'fast-idle-off');
    expect(walk.state.phase).toBe('done');
    expect(walk.state.verdict).toBe('fail');
    for (const id of ['tug-test', 'hand-valve-test', 'service-brake-test'])
      expect(walk.state.records.find((record) => record.id === id)).toMatchObject({
        outcome: 'skipped',
        result: {
          verdict: 'not judged',
          reason: expect.stringMatching(/Governor cut-out failed.*not moved/) as unknown,
        },
      });
    expect(replay(walk.events)).toEqual(walk.state);
  });

  it('a needle that was called wrong, corrected in time, brings them back', () => {
    const walk = failed().say({ cues: [], reading: needles(120, 119), command: 'correction' });
    expect(walk.verdict('governor-cut-out')).not.toBe('fail');
    walk.sayAll('cut-out', needles(121, 120), 'fast-idle-off');
    expect(walk.step).toBe('tug-test');
  });

  it('is no fork where nothing is left but what moves the rig, or what it does not have', () => {
    for (const plan of [
      only('governor-cut-out', 'service-brake-test'),
      {
        ...PLAN,
        steps: [PLAN.steps[0]!, { ...PLAN.steps[1]!, onlyIfFitted: 'trailer' as const }],
      },
    ]) {
      const walk = new Walk(startOf({ plan, settings: LIVE })).knowing('engine-started');
      expect(walk.sayAll('cut-out', needles(140, 139), 'yes').types).not.toContain('fork');
    }
  });

  it('a rig that moved in the tug test is not driven in the next', () => {
    const plan = only('tug-test', 'service-brake-test');
    const walk = new Walk(startOf({ plan, settings: LIVE })).knowing('parking-brake-set');
    walk.sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-moved');
    expect(walk.types).not.toContain('fork');
    expect(walk.state.phase).toBe('done');
    expect(walk.verdict('service-brake-test')).toBe('not judged');
  });

  it('“go back” does not come to rest in a step that is left out', () => {
    const plan = { ...PLAN, steps: [PLAN.steps[0]!, PLAN.steps[2]!, PLAN.steps[1]!] };
    const walk = new Walk(startOf({ plan, settings: LIVE })).knowing('engine-started');
    walk.sayAll('cut-out', needles(140, 139), 'yes');
    expect(walk.step).toBe('final-fill');
    expect(walk.say('go-back').step).toBe('governor-cut-out');
  });

  it('a log from before this rule is replayed as it was', () => {
    const walk = failed({}).sayAll('cut-out', needles(140, 139), 'fast-idle-off');
    expect(walk.all.some(({ type }) => type === 'fork')).toBe(false);
    expect(walk.step).toBe('tug-test');
  });
});
