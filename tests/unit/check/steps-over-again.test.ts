import { describe, expect, it } from 'vitest';
import { judgeAgain } from '../../../src/check/judge-again.ts';
import type { Plan, Step } from '../../../src/check/plan.ts';
import type { LimitProfile } from '../../../src/judging/profile.ts';
import { view } from '../../../src/check/view.ts';
import { FULL, needles, only, primary, startOf, TENDER_34, Walk } from './support/say.ts';

const OURS = { document: 'Rig handbook', sure: 'seen' } as const;

/** The plan with something more in one of its steps. */
function withMore(plan: Plan, id: string, more: Partial<Step>): Plan {
  return { ...plan, steps: plan.steps.map((step) => (step.id === id ? { ...step, ...more } : step)) };
}

/** The profile with a limit for the differential, as a department's own may have one. */
function withDifferential(profile: LimitProfile): LimitProfile {
  const limit = { figure: 'differential', min: 15, strict: false, unit: 'psi', source: OURS } as const;
  const tests = profile.tests.map((each) =>
    each.test === 'governor-cut-in' ? { ...each, limits: [...each.limits, limit] } : each,
  );
  return { ...profile, tests };
}

const cutIn = (): Walk =>
  new Walk(startOf({ plan: only('governor-cut-out', 'governor-cut-in', 'refill') })).knowing('engine-started');

describe('go back', () => {
  it('to a step that failed does not make one forget it, however it goes then', () => {
    const walk = cutIn().sayAll('cut-out', needles(140, 139), 'yes');
    expect(walk.verdict('governor-cut-out')).toBe('fail');
    const reason = walk.state.records[0]!.result.reason.replace(/\.$/, '');
    walk.sayAll('go-back', 'cut-out', needles(120, 119));
    expect(walk.state.records[0]?.result).toMatchObject({
      verdict: 'marginal',
      flags: [`Failed before it was done again: ${reason}`],
    });
    walk.sayAll('cut-in', needles(98, 97));
    expect(walk.state.records[1]?.result).not.toHaveProperty('flags');
  });

  it('to a step that failed is told of however it is judged after that, beside everything else', () => {
    const again = (asking: 'ask' | 'assume' = 'ask'): Walk => {
      const { plan } = cutIn().state.start;
      const walk = new Walk(startOf({ plan, asking })).knowing('engine-started').say('cut-out');
      return walk.sayAll(needles(140, 139), 'yes', 'go-back', 'cut-out');
    };
    const corrected = (walk: Walk): Walk =>
      walk.say(needles(120, 119)).say({ cues: [], command: 'correction', reading: needles(121, 119) });
    for (const [walk, verdict, flags] of [
      [corrected(again()), 'marginal', 1],
      [corrected(again('assume')), 'not judged', 1],
      [again().say(needles(120, 119)).say('not-cut-out'), 'marginal', 2],
      [again().murmur('well', { source: 'transcript' }).say(needles(120, 119)), 'marginal', 2],
    ] as const) {
      const result = walk.state.records[0]?.result;
      expect([result?.verdict, result?.flags?.length]).toEqual([verdict, flags]);
      expect(result?.reason).toContain('it failed before it was done again (Primary was at 140 psi');
      expect(judgeAgain(walk.state, walk.state.start.profile).records).toEqual(walk.state.records);
    }
    const felt = new Walk(startOf({ plan: only('low-air-warning', 'spring-brake-activation') }));
    felt.knowing('engine-off', 'brakes-released').sayAll('buzzer', needles(80, 80), 'yes', 'go-back');
    felt.sayAll('buzzer', needles(62, 62), 'valve-popped', needles(38, 38));
    expect(felt.say('no-warning').state.records[0]?.result.flags?.join()).toContain('Failed before it was done again');
  });

  it('to a step that failed is told of beside a margin that is too small as well', () => {
    const walk = cutIn().sayAll('cut-out', needles(140, 139), 'yes', 'go-back', 'cut-out', needles(130, 130));
    expect(walk.state.records[0]?.result).toMatchObject({ verdict: 'marginal' });
    expect(walk.state.records[0]?.result.reason).toContain('it failed before it was done again');
  });

  it('over the end of the clock takes it away', () => {
    const plan = only('approach', 'service-brake-test', 'pre-start-fill');
    const [approach, fill, stop] = plan.steps;
    const walk = new Walk(startOf({ plan: { ...plan, steps: [approach!, stop!, fill!] } }));
    walk.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set').say('ignition-on', { at: 20 });
    walk.say('straight-stop').say('check-complete', { at: 60 });
    expect(walk.state.clock).toEqual({ start: 20_000, end: 60_000 });
    expect(walk.say('go-back').state.clock).toEqual({ start: 20_000 });
  });

  it('from the middle of a step, however little was called in it, begins that step anew', () => {
    for (const said of ['cut-in', primary(98)] as const) {
      const plan = only('pre-start-fill', 'governor-cut-in');
      const walk = new Walk(startOf({ plan })).sayAll(needles(75, 74), 'engine-started');
      if (typeof said !== 'string') walk.say('cut-in');
      walk.say(said).say('go-back');
      expect(walk.step).toBe('governor-cut-in');
      expect(walk.state.progress).toMatchObject({ cues: [], readings: [] });
      expect(walk.say('go-back').step).toBe('pre-start-fill');
    }
    const asked = new Walk(startOf({ plan: only('approach', 'pre-start-fill') }));
    asked.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on');
    asked.say(needles(75, 74), { confidence: 0.1 }).say('go-back');
    expect([asked.step, asked.state.phase]).toEqual(['pre-start-fill', 'listening']);
  });

  it('from needles that were called alone begins the step of the needles anew', () => {
    for (const said of [needles(75, 74), primary(75)]) {
      const walk = new Walk(startOf({ plan: only('approach', 'pre-start-fill') }));
      walk.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on', said, 'go-back');
      expect([walk.step, walk.state.progress.readings]).toEqual(['pre-start-fill', []]);
    }
  });

  it('to a step that passed leaves no mark on it', () => {
    const walk = cutIn().sayAll('cut-out', needles(120, 119), 'go-back', 'cut-out', needles(121, 119));
    expect(walk.state.records[0]?.result.verdict).toBe('pass');
    expect(walk.state.records[0]?.result).not.toHaveProperty('flags');
  });

  it('leaves what comes before the step, and steps over what the rig does not have', () => {
    const plan = only('tug-test', 'hand-valve-test', 'service-brake-test');
    const walk = new Walk(startOf({ plan })).knowing('engine-started', 'parking-brake-set');
    walk.sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
    expect(walk.state.records.map(({ outcome }) => outcome)).toEqual(['judged', 'passed-over']);
    walk.say('go-back');
    expect([walk.step, walk.state.records]).toEqual(['tug-test', []]);
    expect(walk.last[0]).toMatchObject({ type: 'went-back', step: { id: 'tug-test' } });
  });

  it('in the first step begins it anew', () => {
    const walk = cutIn().say('go-back');
    expect(walk.types).toEqual(['went-back', 'brief']);
    expect(walk.step).toBe('governor-cut-out');
  });

  it('does not take back what went wrong', () => {
    const tug = (...said: readonly string[]): Walk =>
      new Walk(startOf({ plan: only('tug-test', 'service-brake-test') }))
        .knowing('engine-started', 'parking-brake-set')
        .sayAll('chocks-stowed', 'belts-on', 'in-drive', ...said);
    const over = tug('rig-moved', 'go-back');
    expect(over.state.progress.outcome?.cue).toBe('rig-moved');
    over.sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
    expect(over.verdict('tug-test')).toBe('fail');
    const within = new Walk(startOf({ plan: only('service-brake-test') })).sayAll('pulled-left', 'go-back');
    expect(within.state.progress.outcome?.cue).toBe('pulled-left');
    expect(tug('rig-held', 'go-back').state.progress.outcome).toBeUndefined();
  });

  it('and a skip leave the question of the step behind', () => {
    const walk = cutIn().say('cut-out').say(needles(140, 139));
    expect(walk.state.phase).toBe('asking');
    walk.say({ cues: [], command: 'skip', reason: 'no-room' });
    expect(walk.state).toMatchObject({ phase: 'listening', index: 1 });
    expect(walk.state.pending).toBeUndefined();
    expect(walk.state.records).toMatchObject([{ outcome: 'skipped', result: { verdict: 'not judged' } }]);
  });
});

describe('sound that is lost', () => {
  const lost = (walk: Walk): Walk => walk.send({ type: 'interrupted', at: walk.time * 1000 + 500, why: 'sound-lost' });

  it('takes a moment with it whose needles were not called, and not one that went wrong', () => {
    const moment = lost(cutIn().say('cut-out'));
    expect(moment.types).toEqual(['repeat']);
    expect(moment.state.progress.outcome).toBeUndefined();
    const none = lost(new Walk(startOf({ plan: only('low-air-warning') })).sayAll('engine-off', 'no-warning'));
    expect(none.types).toEqual([]);
    expect(none.state.progress.outcome?.cue).toBe('no-warning');
  });

  it('takes a build-up with it, and one needle, and a question, but no plain reading', () => {
    const build = new Walk(startOf({ plan: only('build-up') })).sayAll('engine-started', 'fast-idle-set');
    expect(lost(build.say(needles(85, 85))).state.progress).toMatchObject({
      readings: [],
      repeatBecause: 'sound-lost',
    });
    const filling = (): Walk => new Walk(startOf({ plan: only('pre-start-fill') }));
    const half = lost(filling().say(primary(75)));
    expect(half.state.progress.half).toBeUndefined();
    expect(half.types).toEqual([]);
    const asked = lost(filling().say(needles(75, 74), { confidence: 0.1 }));
    expect(asked.state.pending).toBeUndefined();
    expect(asked.state.phase).toBe('listening');
    expect(lost(filling().say(needles(75, 74))).state.progress.readings).toHaveLength(1);
    const whole = new Walk(startOf({ plan: withMore(only('refill'), 'refill', { cuesAfter: ['fast-idle-off'] }) }));
    expect(lost(whole.sayAll('cut-out', needles(120, 120))).state.progress.readings).toHaveLength(1);
  });

  it('is known of a step that is skipped then, as what spoiled it is', () => {
    const skip = { cues: [], command: 'skip', reason: 'no-room' } as const;
    const hold = (): Walk =>
      new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') }))
        .sayAll('engine-off', 'brakes-released', 'settled')
        .say(needles(120, 120));
    expect(lost(hold()).say(skip).state.records[0]?.progress.repeatBecause).toBe('sound-lost');
    expect(hold().say('engine-started').say(skip).state.records[0]?.progress.spoiled?.by?.heard).toBe('engine-started');
  });

  it('before anything was measured changes nothing', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released');
    expect(lost(walk).types).toEqual([]);
    expect(walk.state.progress.repeatBecause).toBeUndefined();
  });

  it('with the page is not told of before the page is back', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') }));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(120, 120));
    walk.send({ type: 'interrupted', at: 20_000, why: 'page-closed' });
    expect(walk.types).toEqual([]);
    expect(walk.state.progress.repeatBecause).toBe('page-closed');
  });
});

describe('a check that ends early', () => {
  it('says of each step why it has no verdict', () => {
    const ended = (stopped: boolean): readonly (readonly [string, string])[] => {
      const walk = new Walk(
        startOf({ plan: only('static-leakage', 'applied-leakage', 'hand-valve-test', 'tug-test') }),
      );
      walk.sayAll('engine-off', 'brakes-released', 'settled', needles(120, 120));
      if (stopped) walk.sayAll('stop-check', 'yes');
      else walk.send({ type: 'end', at: 30_000 });
      return walk.state.records.map(({ id, result }) => [id, result.reason]);
    };
    expect(ended(false)).toEqual([
      ['static-leakage', 'not finished: no needles were called when the hold of 60 s was over'],
      ['applied-leakage', 'not finished'],
      ['tug-test', 'not finished'],
      ['hand-valve-test', 'The rig does not have it.'],
    ]);
    expect(ended(true).map(([, reason]) => reason)).toEqual([
      'the check was stopped',
      'the check was stopped',
      'the check was stopped',
      'The rig does not have it.',
    ]);
  });
});

describe('what was said in a step that was not finished', () => {
  it('is told of with it', () => {
    const walk = new Walk(startOf({ plan: only('governor-cut-in', 'refill') })).sayAll('cut-out', 'not-cut-in');
    const [record, next] = walk.send({ type: 'end', at: 90_000 }).state.records;
    expect(record?.result.flags).toEqual([
      '“cut-out” was called, and no engine that was started',
      '“not-cut-in” was called',
    ]);
    expect(next?.result).not.toHaveProperty('flags');
  });
});

describe('what a step says as it goes', () => {
  it('the beginning of a window or hold once, and each cue that it gains', () => {
    const build = new Walk(startOf({ plan: only('build-up') })).sayAll('engine-started', 'fast-idle-set');
    expect(build.say(needles(70, 70), { at: 10 }).types).toEqual(['read-back', 'still-needed']);
    expect(build.say(needles(86, 86), { at: 40 }).types).toEqual(['read-back', 'window-started']);
    expect(build.say(needles(90, 90), { at: 50 }).types).toEqual(['read-back']);
    const hold = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released');
    expect(hold.last).toEqual([{ type: 'noted', cue: 'brakes-released' }]);
    hold.say(needles(120, 120)).say('settled');
    expect(hold.last).toEqual([{ type: 'hold-started', seconds: 60 }]);
  });

  it('no verdict where nothing is tested', () => {
    const walk = new Walk(startOf({ plan: only('approach', 'pre-start-fill') }));
    walk.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on');
    expect(walk.types).toEqual(['brief']);
  });

  it('that its first needles were called too long before its last condition: 10 s', () => {
    const settled = (at: number): readonly string[] => {
      const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released');
      return walk.say(needles(120, 120), { at: 10, lasting: 2 }).say('settled', { at }).types;
    };
    expect(settled(22)).toEqual(['hold-started']);
    expect(settled(22.001)).toEqual(['repeat', 'noted']);
  });
});

describe('a figure that rests on an earlier step', () => {
  const differential = (walk: Walk): number | undefined =>
    walk.state.records.find(({ id }) => id === 'governor-cut-in')?.result.figures.differential?.value;

  it('is there when that step was judged, and not when it was left or skipped', () => {
    expect(differential(cutIn().sayAll('cut-out', needles(120, 119), 'cut-in', needles(98, 97)))).toBe(22);
    const plan = withMore(only('governor-cut-out', 'governor-cut-in'), 'governor-cut-out', {
      cuesAfter: ['fast-idle-off'],
    });
    const left = new Walk(startOf({ plan, asking: 'assume' })).knowing('engine-started');
    left.sayAll('cut-out', needles(120, 119), 'cut-in', needles(98, 97)).send({ type: 'end', at: 900_000 });
    expect(left.state.records.map(({ outcome }) => outcome)).toEqual(['unfinished', 'judged']);
    expect(differential(left)).toBeUndefined();
    const skipped = cutIn().say({ cues: [], command: 'skip', reason: 'no-room' });
    expect(differential(skipped.sayAll('cut-in', needles(98, 97)))).toBeUndefined();
  });

  it('is no pass when that step was skipped, or measured under what contradicts it, and the profile limits it', () => {
    const judgedIn = (start: typeof FULL, first: (walk: Walk) => void, known: readonly string[]): string => {
      const profile = withDifferential(startOf().profile);
      const walk = new Walk(startOf({ plan: start, profile, asking: 'assume' })).knowing(...known);
      first(walk);
      walk.sayAll('cut-in', needles(98, 97));
      return walk.verdict('governor-cut-in') ?? '';
    };
    const plan = only('governor-cut-out', 'governor-cut-in');
    const called = (walk: Walk): unknown => walk.sayAll('cut-out', needles(120, 119));
    expect(judgedIn(plan, called, ['engine-started'])).toBe('pass');
    const skips = (walk: Walk): unknown => walk.say({ cues: [], command: 'skip', reason: 'no-room' });
    expect(judgedIn(plan, skips, ['engine-started'])).toBe('not judged');
    const stops = (walk: Walk): unknown => called(walk.sayAll('engine-off')) && walk.sayAll('engine-started');
    expect(judgedIn(plan, stops, ['engine-started'])).toBe('not judged');
  });
});

describe('the numbers on the screen', () => {
  it('count the steps that the rig has', () => {
    const shown = (rig: typeof TENDER_34 | undefined): readonly number[] => {
      const walk = new Walk(startOf(rig === undefined ? {} : { rig }));
      const { index, total } = view(walk.state);
      const over = view(walk.sayAll('stop-check', 'yes').state);
      return [index, total, over.index, over.results.length];
    };
    const all = FULL.steps.length;
    expect(shown(TENDER_34)).toEqual([0, all, all, all]);
    expect(shown(undefined)).toEqual([0, all - 1, all - 1, all - 1]);
  });
});
