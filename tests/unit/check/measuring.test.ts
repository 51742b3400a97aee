import { describe, expect, it } from 'vitest';
import { movedBy } from '../../../src/check/cab.ts';
import { reportConditions } from '../../../src/check/conditions.ts';
import { judgeAgain } from '../../../src/check/judge-again.ts';
import { replay } from '../../../src/check/machine.ts';
import { judgeStep } from '../../../src/check/measure.ts';
import type { Plan } from '../../../src/check/plan.ts';
import type { CalledReading, Progress, StepRecord } from '../../../src/check/state.ts';
import type { SpokenReading } from '../../../src/grammar/meaning.ts';
import type { LimitProfile } from '../../../src/judging/profile.ts';
import type { StepResult } from '../../../src/judging/result.ts';
import { wholeCheck } from '../record/logs.ts';
import { needles, only, primary, startOf, Walk, type Said } from './support/say.ts';

const resultOf = (walk: Walk, id: string): StepResult | undefined =>
  walk.state.records.find((record) => record.id === id)?.result;
const ended = (walk: Walk): Walk => walk.send({ type: 'end', at: 900_000 });
const correction = (reading: SpokenReading): Said => ({ cues: [], command: 'correction', reading });

/** A static hold begun with these needles at 18 s, and with what is called after it; a number is a wait to that second. */
function held(opening: Said, ...said: readonly (Said | number)[]): Walk {
  const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage', 'final-fill') }));
  walk.sayAll('engine-off', 'brakes-released', 'settled').say(opening, { at: 18, lasting: 2 });
  for (const each of said) {
    if (typeof each === 'number') walk.waitTo(each);
    else walk.say(each);
  }
  return walk;
}

/** The profile with other limits for a test, and one for the differential. */
function limited(test: string, limits?: LimitProfile['tests'][number]['limits']): LimitProfile {
  const { profile } = startOf();
  const source = { document: 'Rig handbook', sure: 'seen' } as const;
  const differential = { figure: 'differential', min: 15, strict: false, unit: 'psi', source } as const;
  const tests = profile.tests.map((each) => {
    if (each.test === test && limits !== undefined) return { ...each, limits };
    return each.test === 'governor-cut-in' ? { ...each, limits: [...each.limits, differential] } : each;
  });
  return { ...profile, tests };
}

describe('a result is reckoned anew', () => {
  const walk = held(needles(120, 120), 81, needles(119, 119));
  const { start } = walk.state;
  const { progress } = walk.state.records[0]!;
  const [opening, closing] = progress.readings as [CalledReading, CalledReading];
  const none: StepRecord[] = [];
  const base = (): StepResult => judgeStep(0, progress, start, none);

  it.each<[string, Partial<Progress>]>([
    ['the cab', { cab: movedBy(progress.cab ?? {}, ['engine-started'], { at: 10_000, heard: 'engine started' }) }],
    ['what was seen or felt', { outcome: { cue: 'rig-held', at: 1 } }],
    ['needles within it', { within: [{ ...opening, ...primary(100), start: 40_000, end: 41_000 }] }],
    ['what was taken back', { corrected: ['rig-moved'] }],
    ['a fail that was taken back', { failedBefore: ['It leaked.'] }],
    ['other needles that it began with', { openings: [{ ...opening, ...primary(130) }] }],
    ['needles called too soon', { contested: '“words” was called' }],
    ['what had no place in it', { strays: ['“words” was called'] }],
    ['what is told of', { told: ['“words” was called'] }],
    ['its needles', { readings: [opening, { ...closing, ...primary(100) }] }],
    ['the number of its needles', { readings: [opening] }],
  ])('with other data: %s', (_, other) => {
    expect(base()).toBe(base());
    const reckoned = judgeStep(0, { ...progress, ...other }, start, none);
    expect(reckoned).not.toBe(base());
    if (other.outcome === undefined) expect(reckoned).not.toEqual(base());
  });

  it('with one more reading, as another step, and after other steps', () => {
    expect(judgeStep(0, { ...progress, readings: [opening] }, start, none).verdict).toBe('not judged');
    expect(base().verdict).toBe('pass');
    expect(judgeStep(1, progress, start, none).verdict).toBe('not judged');
    const governed = new Walk(startOf({ plan: only('governor-cut-out', 'governor-cut-in') })).knowing('engine-started');
    const { state } = governed.sayAll('cut-out', needles(120, 119), 'cut-in', needles(98, 97));
    const differential = (records: typeof state.records): number | undefined =>
      judgeStep(1, state.records[1]!.progress, state.start, records).figures.differential?.value;
    expect([differential(state.records), differential([])]).toEqual([22, undefined]);
  });

  it('under each other profile', () => {
    const once = new Walk(startOf({ plan: only('governor-cut-out') })).knowing('engine-started');
    once.sayAll('cut-out', needles(120, 119));
    const under = (max: number): string => {
      const limits = startOf().profile.tests.find(({ test }) => test === 'governor-cut-out')!.limits;
      const lower = limits.map((limit) => ({ ...limit, max }));
      return judgeAgain(once.state, limited('governor-cut-out', lower)).verdict;
    };
    expect([under(130), under(110), under(130)]).toEqual(['pass', 'fail', 'pass']);
  });

  it('of no step that the plan does not have', () => {
    expect(() => judgeStep(9, progress, start, none)).toThrow('no step 9 in the plan part');
  });
});

describe('a figure that rests on an earlier step', () => {
  const cutIn = (plan: Plan, profile: LimitProfile, ...said: readonly Said[]): string | undefined =>
    new Walk(startOf({ plan, profile }))
      .knowing('engine-started')
      .sayAll(...said, 'cut-in', needles(98, 97))
      .verdict('governor-cut-in');

  it('takes the last time that it was measured, and needs no limit for that step itself', () => {
    const plan = only('governor-cut-out', 'governor-cut-in');
    const [out, into] = plan.steps as [Plan['steps'][0], Plan['steps'][0]];
    const twice = { ...plan, steps: [out, { ...out, id: 'once-more' }, into] };
    const skip = { cues: [], command: 'skip', reason: 'no-room' } as const;
    expect(cutIn(twice, limited('none'), skip, 'cut-out', needles(120, 119))).toBe('pass');
    expect(cutIn(twice, limited('none'), 'cut-out', needles(120, 119), skip)).toBe('not judged');
    expect(cutIn(plan, limited('governor-cut-out', []), 'cut-out', needles(120, 119))).toBe('pass');
  });
});

describe('a step that is judged again', () => {
  it('comes out the same, whatever was measured after it', () => {
    const { records, start } = replay(wholeCheck());
    for (const { index, progress, result } of records)
      if (result.conditions !== undefined) expect(judgeStep(index, progress, start, records)).toEqual(result);
  });
});

describe('a condition that was not so', () => {
  it('leaves no verdict, neither a fail by the needles nor words that decide nothing', () => {
    const cutOut = new Walk(startOf({ plan: only('governor-cut-out') })).sayAll('cut-out', needles(140, 139));
    if (cutOut.state.phase === 'asking') cutOut.say('yes');
    expect(cutOut.verdict('governor-cut-out')).toBe('not judged');
    const warning = new Walk(startOf({ plan: only('low-air-warning') })).sayAll('no-warning', needles(65, 65));
    expect(resultOf(warning, 'low-air-warning')?.reason).toMatch(/^Not known: engine off/);
    const never = new Walk(startOf({ plan: only('low-air-warning') })).sayAll('no-warning', needles(20, 20));
    if (never.state.phase === 'asking') never.say('yes');
    expect(never.verdict('low-air-warning')).toBe('fail');
  });

  it('is told with the callout that came too late to say so', () => {
    const walk = new Walk(startOf({ plan: only('governor-cut-in'), asking: 'assume' }));
    walk.sayAll('engine-started', 'cut-in', needles(98, 97));
    expect(resultOf(walk, 'governor-cut-in')?.reason).toBe(
      '“engine-started” was called only after the measurement had begun, and the condition is engine running; go back and repeat the measurement.',
    );
  });

  it('is told before one that is not known', () => {
    const walk = new Walk(startOf({ plan: only('spring-brake-activation'), asking: 'assume' }));
    walk.knowing('parking-brake-set').sayAll('valve-popped', needles(38, 38));
    expect(resultOf(walk, 'spring-brake-activation')?.reason).toMatch(/^“parking-brake-set” was called/);
  });

  it.each([
    [10_000, 'buzzer', 'event', 'known'],
    [10_001, 'buzzer', 'event', 'contradicted'],
    [10_001, 'no-warning', 'event', 'known'],
    [10_001, 'buzzer', 'reading', 'known'],
  ] as const)('of a moment: needles %d ms after “%s” in a step of kind %s: %s', (start, cue, kind, state) => {
    const step = { ...only('low-air-warning').steps[0]!, kind };
    const readings = [{ ...needles(65, 65), start, end: start + 1, callouts: [] }];
    const progress = { cues: [], readings, announced: 0, outcome: { cue, at: 0 } };
    const found = reportConditions(step, startOf(), progress, {}).find(({ what }) => what.includes('10 s'));
    expect(found?.state).toBe(state);
    const none = reportConditions(step, startOf(), { ...progress, readings: [] }, {});
    expect(none.find(({ what }) => what.includes('10 s'))?.state).toBe('known');
  });
});

describe('a condition called once more', () => {
  const flagsOf = (walk: Walk, id = 'static-leakage'): readonly string[] | undefined => resultOf(walk, id)?.flags;

  it('is told of between the first needles and the last, and where the measurement rests on it', () => {
    const again = (at: number): readonly string[] | undefined => {
      const walk = held(needles(120, 120)).say('engine-off', { at, lasting: 0 }).waitTo(81);
      return flagsOf(walk.say(needles(120, 120), { at: 81 }));
    };
    expect([again(20), again(20.001)?.length]).toEqual([undefined, 1]);
    const breath = held(needles(120, 120), 81).say({ cues: ['engine-off'], reading: needles(120, 120) }, { at: 81 });
    expect([breath.verdict('static-leakage'), flagsOf(breath)]).toEqual(['pass', undefined]);
    const built = new Walk(startOf({ plan: only('build-up') })).knowing('chocks-set', 'engine-started');
    built.say('fast-idle-set').say(needles(85, 85), { at: 10 }).say('chocks-set').say(needles(100, 100), { at: 41 });
    expect([built.verdict('build-up'), flagsOf(built, 'build-up')]).toEqual(['pass', undefined]);
  });
});

describe('what was corrected', () => {
  const flagsOf = (walk: Walk): string => resultOf(walk, 'static-leakage')?.flags?.join() ?? 'none';

  it('is told of where it would have failed, and not beside a fail', () => {
    expect(flagsOf(held(needles(121, 120), correction(needles(120, 120)), 81, needles(119, 119)))).toBe('none');
    const leak = held(needles(120, 120), 81, needles(110, 110), correction(needles(111, 110)), 'yes');
    expect(leak.verdict('static-leakage')).toBe('fail');
    expect(flagsOf(leak)).toBe('none');
    // The reason ends as a sentence does, and its decimals are kept.
    const rate = held(needles(120, 120), 90)
      .say(needles(110, 120), { at: 91.5 })
      .say(correction(needles(120, 120)));
    expect(flagsOf(rate)).toMatch(/^Failed before the needles were corrected: .*\d\.\d.*[^.]$/);
  });

  it('twice in the same way is told of once', () => {
    const walk = held(needles(120, 120), 81, needles(110, 110), correction(needles(110, 110)), 'no', needles(119, 119));
    expect(resultOf(walk, 'static-leakage')?.flags).toHaveLength(1);
  });

  it('in needles that were taken and would fail is told of when it is taken back', () => {
    const plan: Plan = only('governor-cut-out');
    const steps = plan.steps.map((step) => ({ ...step, cuesAfter: ['engine-off'] }));
    const walk = new Walk(startOf({ plan: { ...plan, steps } })).knowing('engine-started');
    walk.sayAll('cut-out', needles(120, 119), correction(needles(140, 119)));
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail', fails: { verdict: 'fail' } }]);
    walk.sayAll('no', needles(121, 119), 'engine-off');
    expect(resultOf(walk, 'governor-cut-out')).toMatchObject({ verdict: 'pass' });
    expect(resultOf(walk, 'governor-cut-out')?.flags?.join()).toMatch(/^Failed before .*140/);
  });
});

describe('needles called sooner than they can have moved', () => {
  const warned = (): Walk =>
    new Walk(startOf({ plan: only('low-air-warning', 'spring-brake-activation') }))
      .knowing('engine-off', 'brakes-released')
      .say('buzzer', { at: 10, lasting: 0 })
      .say(needles(62, 62), { at: 12, lasting: 0 });
  const after = (one: number, other: number): Walk => warned().say(needles(one, other), { at: 14 });

  it('leave the step marginal with that reason, and no better where it has no verdict or fails', () => {
    const contested = after(50, 50);
    expect(resultOf(contested, 'low-air-warning')?.reason).toMatch(
      /[^.]; “words” was called 2 s later, sooner than the needles can have moved so far\.$/,
    );
    const { state } = contested;
    const limits = state.start.profile.tests.find(({ test }) => test === 'low-air-warning')!.limits;
    const stricter = limits.map((limit) => ({ ...limit, min: 70 }));
    expect(judgeAgain(state, limited('low-air-warning', stricter)).records[0]?.result.verdict).toBe('fail');
    expect(contested.say('no-warning').verdict('low-air-warning')).toBe('not judged');
  });

  // A pedal that is fanned takes 3 to 5 psi with every application: common practice, no source.
  it('are those that fell up to 20 psi; further down, the next step has its own; one that rose is asked about', () => {
    expect(after(42, 42).verdict('low-air-warning')).toBe('marginal');
    expect(after(41, 42).verdict('low-air-warning')).toBe('pass');
    expect(after(54, 62).types).not.toContain('question');
    expect(after(50, 63).last).toMatchObject([{ type: 'question', because: 'would-fail' }]);
  });
});

describe('needles that can hardly have been so', () => {
  it('count for nothing as long as one of them was not confirmed', () => {
    const built = (isConfirmed: boolean): string | undefined => {
      const start = startOf({ plan: only('build-up'), asking: 'assume' });
      const walk = new Walk(start).sayAll('engine-started', 'fast-idle-set').say(needles(85, 85), { at: 10 });
      walk.say(needles(95, 95), { at: 12 });
      if (isConfirmed) walk.say('yes', { at: 13, lasting: 0 });
      return ended(walk.say(needles(108, 108), { at: 14 }).say('yes')).verdict('build-up');
    };
    expect([built(false), built(true)]).toEqual(['not judged', 'marginal']);
  });

  it('are given as the reason where they were confirmed', () => {
    const walk = held(needles(92, 92), 81);
    const doubted = new Walk(startOf({ plan: only('build-up') })).sayAll('engine-started', 'fast-idle-set');
    doubted.say(needles(85, 85), { at: 10 }).say(needles(100, 100), { at: 14 }).say('yes');
    expect(resultOf(doubted, 'build-up')?.reason).toMatch(
      /[^.]; Primary 100 psi, secondary 100 psi can hardly follow from the needles before, confirmed when asked\.$/,
    );
    expect(walk.say(needles(92, 92)).verdict('static-leakage')).toBe('pass');
  });
});

describe('a pedal that took no air', () => {
  const STILL = 'The needles did not fall when the brake was applied: that it was, rests on the callout alone';
  const flags = (walk: Walk, id: string): boolean => resultOf(walk, id)?.flags?.includes(STILL) === true;
  const applied = (psi: number): readonly (Said | number)[] => ['brake-applied', 'settled', needles(psi, psi)];

  it('is told of in the applied hold alone, against the static hold that was judged', () => {
    const both = held(needles(120, 120), 81, needles(120, 120), ...applied(120), 160, needles(120, 120));
    expect(flags(both, 'applied-leakage')).toBe(true);
    both.sayAll('engine-started', 'cut-out', needles(124, 124), 'fast-idle-off');
    expect([both.verdict('final-fill'), flags(both, 'final-fill')]).toEqual(['pass', false]);
    // The static hold was left before its end.
    const left = held(needles(120, 120), ...applied(120), 120, needles(120, 120));
    expect([left.verdict('applied-leakage'), flags(left, 'applied-leakage')]).toEqual(['pass', false]);
    const alone = new Walk(startOf({ plan: only('refill', 'applied-leakage') })).knowing('engine-started');
    alone.sayAll('cut-out', needles(110, 110), 'engine-off', 'brakes-released', 'brake-applied', 'settled');
    alone
      .say(needles(110, 110))
      .waitTo(alone.time + 61)
      .say(needles(110, 110));
    expect([alone.verdict('applied-leakage'), flags(alone, 'applied-leakage')]).toEqual(['pass', false]);
  });
});

describe('a limit for several vehicles', () => {
  it('fails a rig without a trailer all the same, and is named where it does not', () => {
    const { profile, rig } = startOf();
    const condition = 'combination';
    const tests = profile.tests.map((test) =>
      test.test === 'static-leakage' ? { ...test, limits: test.limits.map((each) => ({ ...each, condition })) } : test,
    );
    const judged = (psi: number): StepResult | undefined => {
      const fitted = { trailer: false };
      const start = startOf({ plan: only('static-leakage'), profile: { ...profile, tests }, rig: { ...rig, fitted } });
      const walk = new Walk(start).sayAll('engine-off', 'brakes-released', 'settled');
      walk.say(needles(120, 120), { at: 18, lasting: 2 }).waitTo(81).say(needles(psi, 120));
      return resultOf(walk.state.phase === 'asking' ? walk.say('yes') : walk, 'static-leakage');
    };
    expect(judged(110)?.verdict).toBe('fail');
    expect(judged(120)?.reason).toMatch(/[^.]\. That limit of “.*” is for a rig with a trailer, and this one has none/);
  });
});
