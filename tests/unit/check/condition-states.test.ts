import { describe, expect, it } from 'vitest';
import atIdle from '../../../src/check/plans/full-cab-check-at-idle.json' with { type: 'json' };
import type { Plan } from '../../../src/check/plan.ts';
import { view } from '../../../src/check/view.ts';
import type { ConditionReport } from '../../../src/judging/result.ts';
import { FULL, needles, only, primary, startOf, TENDER_34, Walk, type Said } from './support/say.ts';

/** How a condition of the step stood, and the callout that says so. */
function stood(
  walk: Walk,
  id: string,
  what: string,
): readonly [ConditionReport['state'] | undefined, string | undefined] {
  const { conditions = [] } = walk.state.records.find((record) => record.id === id)?.result ?? {};
  const found = conditions.find((condition) => condition.what === what);
  return [found?.state, found?.by?.heard];
}

const ended = (walk: Walk): Walk => walk.send({ type: 'end', at: 900_000 });

const away = (walk: Walk, at: number, wall: string): Walk =>
  walk.send({ type: 'interrupted', at, why: 'page-closed' }).send({ type: 'resumed', at, wall });

describe('a condition', () => {
  it('of a governor that cuts in has to be known before the step: a start of the engine lets the needles rise too', () => {
    const cutIn = (...said: readonly string[]): Walk =>
      new Walk(startOf({ plan: only('governor-cut-in'), asking: 'assume' })).sayAll(...said, needles(98, 97));
    const within = cutIn('engine-started', 'cut-in');
    expect(within.verdict('governor-cut-in')).toBe('not judged');
    expect(stood(within, 'governor-cut-in', 'engine running')).toEqual(['unknown', 'engine-started']);
    const before = new Walk(startOf({ plan: only('pre-start-fill', 'governor-cut-in'), asking: 'assume' }));
    ended(before.sayAll(needles(75, 74), 'engine-started', 'cut-in', needles(98, 97)));
    expect(stood(before, 'governor-cut-in', 'engine running')).toEqual(['known', 'engine-started']);
  });

  it('of a brake that stops a rolling rig is heeded within the step alone: that it rolls shows the rest', () => {
    const stopped = (...within: readonly string[]): Walk =>
      new Walk(startOf({ plan: only('tug-test', 'service-brake-test') }))
        .knowing('engine-started', 'parking-brake-set')
        .sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held', ...within, 'straight-stop', 'check-complete');
    expect(stopped().verdict('service-brake-test')).toBe('pass');
    expect(stood(stopped(), 'service-brake-test', 'parking brake released')).toEqual(['assumed', undefined]);
    const set = stopped('parking-brake-set');
    expect(set.verdict('service-brake-test')).toBe('not judged');
    expect(stood(set, 'service-brake-test', 'parking brake released')).toEqual(['contradicted', 'parking-brake-set']);
    const released = stopped('brakes-released');
    expect(stood(released, 'service-brake-test', 'parking brake released')).toEqual(['known', 'brakes-released']);
  });

  it('of a hold that was called only after its first needles is not known by that callout', () => {
    const settledAt = (at: number): readonly unknown[] => {
      const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released');
      walk.say(needles(120, 120), { at: 10, lasting: 2 }).say('settled', { at }).waitTo(75).say(needles(120, 119));
      return stood(walk, 'static-leakage', 'needles settled');
    };
    expect(settledAt(14)).toEqual(['assumed', undefined]);
    expect(settledAt(12)).toEqual(['known', 'settled']);
  });

  it('of a build-up has to be called before its window, in the same breath too', () => {
    const early: readonly (readonly Said[])[] = [
      [needles(85, 85), 'engine-started', 'fast-idle-set'],
      [{ cues: ['fast-idle-set', 'engine-started'], reading: needles(85, 85), before: 0 }],
      ['engine-started', { cues: ['fast-idle-set'], reading: needles(85, 85), before: 0 }],
    ];
    for (const said of early) {
      const walk = new Walk(startOf({ plan: only('build-up') })).sayAll(...said);
      walk.say(needles(100, 100), { at: 60 }).send({ type: 'end', at: 90_000 });
      expect(walk.state.records[0]?.result).toMatchObject({
        verdict: 'not judged',
        reason: 'not finished: the needles were called before what they have to be read under',
      });
    }
    const first = { cues: ['engine-started', 'fast-idle-set'], reading: needles(85, 85) };
    expect(new Walk(startOf({ plan: only('build-up') })).say(first).state.phase).toBe('building');
  });

  it('that is called once more within a hold or window leaves its verdict, and is told of beside it', () => {
    const again = (cue: string): readonly string[] | undefined => {
      const walk = new Walk(startOf({ plan: only('static-leakage') })).knowing('chocks-set');
      walk.sayAll('engine-off', 'brakes-released', 'settled').say(needles(120, 120), { at: 18, lasting: 2 });
      walk.say(cue, { at: 40 }).waitTo(81).say(needles(120, 120));
      expect(walk.verdict('static-leakage')).toBe('pass');
      return walk.state.records[0]?.result.flags;
    };
    const told = (what: string): string[] => [`“${what}” was called once more 20 s after the measurement began`];
    expect(again('engine-off')).toEqual(told('engine off'));
    expect(again('brakes-released')).toEqual(told('parking brake released, brake pedal free'));
    expect(again('settled')).toEqual(told('needles settled'));
    expect(again('chocks-set')).toEqual(told('chocks set'));
    expect(again('mirrors-set')).toBeUndefined();

    const built = new Walk(startOf({ plan: only('build-up') })).sayAll('engine-started', 'fast-idle-set');
    built
      .say(needles(85, 85), { at: 10, lasting: 0 })
      .say('fast-idle-set', { at: 15 })
      .say(needles(100, 100), { at: 41 });
    expect(built.state.records[0]?.result.flags).toEqual([
      '“engine running, fast idle on” was called once more 5 s after the measurement began',
    ]);
  });

  it('that was assumed is assumed again after a long break, one that must be known is not known any more', () => {
    const walk = new Walk(startOf({ plan: only('low-air-warning'), asking: 'assume' })).knowing('chocks-set');
    walk.say('engine-off');
    away(walk, 10_000, '2026-05-04T07:35:00Z').sayAll('buzzer', needles(65, 66));
    expect(stood(walk, 'low-air-warning', 'chocks set')).toEqual(['assumed', undefined]);
    expect(stood(walk, 'low-air-warning', 'engine off')).toEqual(['unknown', 'engine-off']);
  });

  it('is not known any more after twenty minutes without a word, which is as good as a break', () => {
    const silent = (seconds: number): Walk =>
      new Walk(startOf({ plan: only('low-air-warning'), asking: 'assume' }))
        .say('engine-off')
        .say('buzzer', { at: seconds })
        .say(needles(65, 66));
    expect(silent(19 * 60).verdict('low-air-warning')).toBe('pass');
    expect(silent(21 * 60).verdict('low-air-warning')).toBe('not judged');
  });

  it('that is assumed is not broken by words that leave it open', () => {
    const walk = new Walk(startOf({ plan: only('low-air-warning', 'tug-test') })).knowing(
      'engine-off',
      'brake-applied',
    );
    walk.sayAll('buzzer', needles(65, 66), 'engine-started', 'parking-brake-set', 'chocks-stowed', 'belts-on');
    walk.sayAll('in-drive', 'rig-held');
    expect(stood(walk, 'tug-test', 'brake pedal free')).toEqual(['assumed', undefined]);
    expect(walk.verdict('tug-test')).toBe('pass');
  });

  it('that must be known is broken by words that leave it open', () => {
    const walk = new Walk(startOf({ plan: only('low-air-warning'), asking: 'assume' }));
    walk.sayAll('engine-off', 'cut-out', 'buzzer', needles(65, 66));
    expect(stood(walk, 'low-air-warning', 'engine off')).toEqual(['contradicted', 'cut-out']);
  });

  it('of the brakes is not broken by the valve that the step waits for', () => {
    const walk = new Walk(startOf({ plan: only('spring-brake-activation') })).knowing('engine-off', 'brakes-released');
    expect(walk.sayAll('valve-popped', 'valve-popped').types).not.toContain('contradicted');
    expect(walk.say(needles(38, 38)).verdict('spring-brake-activation')).toBe('pass');
  });

  it('from before a long break begins no hold', () => {
    const walk = new Walk(startOf({ plan: only('applied-leakage') })).knowing('engine-off', 'brakes-released');
    away(walk, 10_000, '2026-05-04T07:35:00Z').sayAll('brake-applied', 'settled', needles(110, 110));
    expect(walk.last[0]).toMatchObject({ type: 'unfit-start', condition: { part: 'engine' } });
  });

  it('of a rig that is to roll is that the fast idle is off and the chocks are stowed', () => {
    const tug = (...known: readonly string[]): Walk =>
      new Walk(startOf({ plan: only('tug-test') }))
        .knowing('engine-started', 'parking-brake-set', ...known)
        .sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
    expect(tug().verdict('tug-test')).toBe('pass');
    expect(tug('fast-idle-set').verdict('tug-test')).toBe('not judged');
    expect(tug('fast-idle-set', 'fast-idle-off').verdict('tug-test')).toBe('pass');
    expect(tug('brake-applied').verdict('tug-test')).toBe('not judged');
  });

  it('of a fill up to the cut-out is a running engine, both needles at 80 psi or more, and needles together', () => {
    const filled = (value: number, other = value, engine: readonly string[] = ['engine-started']): Walk =>
      new Walk(startOf({ plan: only('refill'), asking: 'assume' }))
        .knowing(...engine)
        .sayAll('cut-out', needles(value, other));
    expect(filled(80).verdict('refill')).toBe('pass');
    expect(stood(filled(79), 'refill', 'both needles at 80 psi or more')[0]).toBe('contradicted');
    expect(stood(filled(125, 99), 'refill', 'needles no more than 25 psi apart')[0]).toBe('contradicted');
    expect(filled(125, 100).verdict('refill')).toBe('pass');
    expect(filled(125, 125, []).verdict('refill')).toBe('not judged');
    expect(filled(79).state.records[0]?.result.reason).toBe(
      'The condition is both needles at 80 psi or more, and it was not so; go back and repeat the measurement.',
    );
  });

  it('is none of a plain reading that no governor ends', () => {
    const plan = only('pre-start-fill');
    const steps = plan.steps.map((step) => ({ ...step, test: 'plain-reading' as const }));
    const walk = new Walk(startOf({ plan: { ...plan, steps } })).sayAll(needles(75, 40), 'engine-started');
    expect(walk.state.records[0]?.result.conditions ?? []).toEqual([]);
    expect(walk.verdict('pre-start-fill')).toBe('pass');
  });

  it('of a build-up is the fast idle where the rig has one and the plan asks for it', () => {
    const conditions = (plan: Plan, fastIdle?: boolean): readonly string[] => {
      const steps = plan.steps.filter(({ test }) => test === 'build-up');
      const rig = {
        id: 'x',
        name: 'X',
        unit: 'psi',
        ...(fastIdle === undefined ? {} : { fitted: { fastIdle } }),
      } as const;
      const walk = new Walk(startOf({ plan: { ...plan, steps }, rig })).sayAll(...steps[0]!.cues);
      walk.say(needles(85, 85), { at: 20 }).say(needles(100, 100), { at: 60 });
      if (walk.state.phase === 'asking') walk.say('yes');
      return walk.state.records[0]?.result.conditions?.map(({ what, state }) => `${what}: ${state}`) ?? [];
    };
    const free = 'brake pedal free: assumed';
    expect(conditions(FULL)).toEqual(['engine running: known', free, 'fast idle on: known']);
    expect(conditions(FULL, true)).toEqual(['engine running: known', free, 'fast idle on: known']);
    expect(conditions(FULL, false)).toEqual(['engine running: known', free]);
    expect(conditions(atIdle as unknown as Plan)).toEqual(['engine running: known', free, 'fast idle off: assumed']);
  });

  it('that a profile demands besides counts for its own test alone', () => {
    const { profile } = startOf();
    const source = { document: 'Tamarack Flats order 12', sure: 'practice' } as const;
    const tests = profile.tests.map((each) =>
      each.test === 'static-leakage'
        ? { ...each, conditions: [{ part: 'chocks', is: 'set', known: 'must', source }] as const }
        : each,
    );
    const held = (...known: readonly string[]): Walk =>
      new Walk(startOf({ plan: only('refill', 'static-leakage'), profile: { ...profile, tests } }))
        .knowing('engine-started', ...known)
        .sayAll('cut-out', needles(120, 120), 'engine-off', 'brakes-released', 'settled', needles(120, 120));
    expect(held().verdict('refill')).toBe('pass');
    expect(held().last[0]).toMatchObject({ type: 'unfit-start', condition: { part: 'chocks' } });
    expect(held('chocks-set').state.phase).toBe('holding');
  });

  it('on the time of its needles is not asked of what never came', () => {
    const walk = new Walk(startOf({ plan: only('low-air-warning'), asking: 'assume' })).sayAll('engine-off');
    ended(walk.say('no-warning', { at: 10 }).say(needles(20, 21), { at: 40 }));
    expect(walk.verdict('low-air-warning')).toBe('fail');
    expect(stood(walk, 'low-air-warning', 'needles called no more than 10 s after the moment')[0]).toBe('known');
  });

  // California Vehicle Code 26505: gauges within 10 %; 49 CFR 570.57: a governor cuts in at 80 psi or more.
  it('of pressures has its source beside it', () => {
    const walk = new Walk(startOf({ plan: only('refill') })).knowing('engine-started');
    const conditions = walk.sayAll('cut-out', needles(120, 120)).state.records[0]?.result.conditions ?? [];
    expect(conditions.map(({ source }) => `${source.document}, ${source.section ?? ''}`)).toEqual([
      'common practice of the fire service, ',
      '49 CFR 570.57, governor cut-in of 80 psi or more',
      'California Vehicle Code, 26505, gauges within 10 %',
    ]);
  });

  it('is told of nowhere that nothing is measured', () => {
    const walk = new Walk(startOf({ plan: only('approach', 'pre-start-fill') }));
    walk.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on');
    expect(walk.state.records[0]?.result).not.toHaveProperty('conditions');
  });
});

describe('words against a condition', () => {
  const holding = (opening: 'whole' | 'half' | 'asked' = 'whole'): Walk => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released', 'settled');
    return walk.say(opening === 'half' ? primary(120) : needles(120, 120), {
      at: 18,
      lasting: 2,
      confidence: opening === 'asked' ? 0.1 : 0.9,
    });
  };

  it('are to be undone by the one word that they made untrue', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'engine-started');
    expect(view(walk.state).heard).toEqual([]);
    expect(view(walk.state).needed).toContain('engine-off');
  });

  it.each(['whole', 'half', 'asked'] as const)('spoil a hold from its first needle on: %s', (opening) => {
    const walk = holding(opening).say('engine-started');
    expect(walk.types).toEqual(['contradicted', 'still-needed']);
    expect(walk.state).toMatchObject({ progress: { readings: [], repeatBecause: 'contradicted' } });
    expect(walk.state.pending).toBeUndefined();
    expect(walk.state.progress.half).toBeUndefined();
  });

  it('spoil it while needles within it are asked about that do not fail it', () => {
    const within = holding().say(primary(120), { at: 40, confidence: 0.1 }).say('engine-started');
    expect(within.types).toEqual(['contradicted', 'still-needed']);
    expect(within.state.pending).toBeUndefined();
  });

  describe('after the needles that are asked about', () => {
    const within = (): Walk => holding().say(primary(116), { at: 40 }).say('engine-started', { at: 44 });
    const closing = (): Walk => holding().waitTo(81).say(needles(110, 119), { at: 81 }).say('engine-started');

    it.each([
      ['within the hold', within, 116],
      ['at its end', closing, 110],
    ] as const)('make a fail no better: %s', (_, asked, value) => {
      const walk = asked();
      expect(walk.types).toEqual(['question']);
      walk.say('yes');
      expect(walk.verdict('static-leakage')).toBe('fail');
      expect(walk.state.records[0]?.progress.cab?.engine?.is).toBe('off');
      // The same needles once more say yes too, and others that fail it are asked about in turn.
      expect(asked().say(primary(value)).verdict('static-leakage')).toBe('fail');
      const worse = asked().say({ cues: [], command: 'correction', reading: primary(100) });
      expect(worse.last).toMatchObject([{ type: 'question', reading: primary(100) }]);
      expect(worse.say('yes').verdict('static-leakage')).toBe('fail');
    });

    it.each([
      ['no', 'no'],
      ['other needles that would pass', { cues: [], command: 'correction', reading: needles(120, 120) }],
    ] as const)('spoil the hold when they were not those: %s', (_, said) => {
      for (const walk of [within(), closing()]) {
        walk.say(said);
        expect(walk.types).toEqual(['contradicted', 'still-needed']);
        expect(walk.state).toMatchObject({ progress: { readings: [], repeatBecause: 'contradicted' } });
        expect(walk.state.pending).toBeUndefined();
      }
    });

    it('make a moment no better', () => {
      const asked = (): Walk =>
        new Walk(startOf({ plan: only('low-air-warning') }))
          .knowing('engine-off')
          .sayAll('buzzer', needles(40, 41), 'engine-started');
      expect(asked().types).toEqual(['question']);
      expect(asked().say('yes').verdict('low-air-warning')).toBe('fail');
      expect(asked().say('no').types).toEqual(['contradicted', 'still-needed']);
    });
  });

  it('do not spoil what is only asked about in the step behind', () => {
    const walk = new Walk(startOf({ plan: only('governor-cut-in', 'static-leakage') })).knowing('engine-started');
    walk.sayAll('cut-in', needles(98, 97), { cues: [], command: 'correction', reading: needles(79, 97) });
    expect(walk.state.phase).toBe('asking');
    expect(walk.say('engine-started').types).toEqual(['question']);
  });

  it('spoil a moment before its needles, and no step that is only seen or confirmed', () => {
    const moment = new Walk(startOf({ plan: only('low-air-warning') })).knowing('engine-off').sayAll('buzzer');
    expect(moment.say('engine-started').types).toEqual(['contradicted', 'still-needed']);
    const before = new Walk(startOf({ plan: only('low-air-warning') })).knowing('engine-off');
    expect(before.say('engine-started').types).toEqual(['still-needed']);
    const seen = new Walk(startOf({ plan: only('tug-test') })).knowing('engine-started').sayAll('chocks-stowed');
    expect(seen.say('engine-off').types).toEqual(['still-needed']);
  });

  it('are told as the reason by the first of them, whatever the operator goes on with', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') }));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(120, 120), 'engine-started', 'brake-applied');
    expect(walk.state.records[0]?.result.reason).toBe(
      'not finished: “engine-started” was called, and the condition is engine off; it was not repeated to its end',
    );
    expect(walk.step).toBe('applied-leakage');
  });
});

describe('the operator goes on with the next step', () => {
  const stepAfter = (asking: 'ask' | 'assume', plan: readonly string[], ...said: readonly Said[]): string =>
    new Walk(startOf({ plan: only(...plan), asking })).sayAll(...said).step ?? 'over';

  it('from a build-up whose window runs, or a hold that was to be repeated, also in a live check', () => {
    const build = ['engine-started', 'fast-idle-set', needles(85, 85)] as const;
    expect(stepAfter('ask', ['build-up', 'final-fill'], ...build, 'cut-out')).toBe('final-fill');
    expect(stepAfter('ask', ['build-up', 'final-fill'], 'engine-started', 'cut-out')).toBe('build-up');
    const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') }));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(120, 120));
    walk.send({ type: 'interrupted', at: 20_000, why: 'microphone-lost' }).say('brake-applied', { at: 30 });
    expect(walk.step).toBe('applied-leakage');
  });

  it('whose reason is what the step lacked', () => {
    const walk = new Walk(startOf({ plan: only('build-up', 'final-fill') }));
    walk.sayAll('engine-started', 'fast-idle-set', needles(85, 85), 'cut-out');
    expect(walk.state.records[0]?.result.reason).toBe('not finished: both needles were not called at 100 psi');
  });

  it('but not by a word that both steps wait for', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') }));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(120, 120), 'settled');
    expect(walk.step).toBe('static-leakage');
  });

  it('and not while needles are asked about', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') }));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(120, 120)).waitTo(80);
    walk.say(needles(110, 119), { at: 80 }).say('brake-applied');
    expect(walk.step).toBe('static-leakage');
  });

  it('in a recording from whatever was begun, and from nothing that was not', () => {
    const gov = ['pre-start-fill', 'governor-cut-out'];
    expect(stepAfter('assume', gov, primary(75), 'cut-out')).toBe('governor-cut-out');
    expect(stepAfter('assume', gov, needles(75, 74), 'cut-out')).toBe('governor-cut-out');
    expect(stepAfter('assume', gov, 'cut-out')).toBe('pre-start-fill');
    expect(stepAfter('ask', gov, needles(75, 74), 'cut-out')).toBe('pre-start-fill');
    const cut = ['governor-cut-out', 'governor-cut-in'];
    expect(stepAfter('assume', cut, 'cut-out', 'cut-in')).toBe('governor-cut-in');
    expect(stepAfter('ask', cut, 'cut-out', 'cut-in')).toBe('governor-cut-out');
    expect(stepAfter('assume', ['approach', 'pre-start-fill'], 'engine-started')).toBe('approach');
    expect(stepAfter('assume', ['tug-test', 'service-brake-test'], 'belts-on', 'pulled-left')).toBe(
      'service-brake-test',
    );
    // The first cue of a hold may be the first of the next as well: its needles have to have been called.
    expect(stepAfter('assume', ['static-leakage', 'applied-leakage'], 'engine-off', 'brake-applied')).toBe(
      'static-leakage',
    );
  });

  it('which is the next that the rig has', () => {
    const plan = only('tug-test', 'hand-valve-test', 'service-brake-test');
    const walk = (rig?: typeof TENDER_34): Walk =>
      new Walk(startOf({ plan, asking: 'assume', ...(rig === undefined ? {} : { rig }) })).sayAll('belts-on');
    expect(walk().say('straight-stop').step).toBe('service-brake-test');
    expect(walk().state.records).toEqual([]);
    expect(walk(TENDER_34).say('straight-stop').step).toBe('tug-test');
    expect(walk().say('straight-stop').state.records).toMatchObject([
      { id: 'tug-test', outcome: 'unfinished' },
      { id: 'hand-valve-test', outcome: 'passed-over', result: { reason: 'The rig does not have it.' } },
    ]);
  });
});

describe('breaks of a check', () => {
  const known = (...walls: readonly string[]): readonly string[] => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released', 'settled');
    for (const wall of walls) away(walk, 12_000, wall);
    return view(walk.state).heard;
  };

  it('of two minutes each leave the cab known, one of more does not', () => {
    expect(known('2026-05-04T07:32:12.000Z')).toHaveLength(3);
    expect(known('2026-05-04T07:32:12.000Z', '2026-05-04T07:34:12.000Z')).toHaveLength(3);
    expect(known('2026-05-04T07:32:12.001Z')).toEqual([]);
    expect(known('2026-05-04T07:32:12.000Z', '2026-05-04T07:34:12.001Z')).toEqual([]);
  });
});

describe('a hold that ends in words', () => {
  it('that go on is named with its own needles, and can be gone back to', () => {
    const walk = ended(
      new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') })).sayAll(
        'engine-off',
        'brakes-released',
        'settled',
        needles(120, 120),
        'brake-applied',
      ),
    );
    expect(walk.state.records[0]).toMatchObject({ outcome: 'unfinished', progress: { readings: [needles(120, 120)] } });
    expect(walk.state.records[1]).toMatchObject({ result: { reason: 'not finished: “settled” not called' } });
  });
});
