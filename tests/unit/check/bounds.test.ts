import { describe, expect, it } from 'vitest';
import type { CalloutEvent } from '../../../src/check/event.ts';
import { nextDeadline } from '../../../src/check/deadline.ts';
import type { Plan } from '../../../src/check/plan.ts';
import { view } from '../../../src/check/view.ts';
import type { LimitProfile } from '../../../src/judging/profile.ts';
import type { SpokenReading } from '../../../src/grammar/meaning.ts';
import { needles, only, primary, secondary, startOf, Walk, type Said } from './support/say.ts';

/** True when what was called last is asked about because the needles can hardly have shown it. */
const isDoubted = ({ last }: Walk): boolean =>
  last.some((answer) => answer.type === 'question' && answer.because === 'implausible');
const both = (value: number): SpokenReading => needles(value, value);
const strays = ({ state }: Walk): readonly string[] => state.progress.strays ?? [];
const running = (...steps: readonly string[]): Walk =>
  new Walk(startOf({ plan: only(...steps) })).knowing('engine-started');

describe('an ear that was asked beside another', () => {
  it.each<[Partial<CalloutEvent>, boolean]>([
    [{ confidence: 0.1, agreed: true }, false],
    [{ confidence: 0.9, agreed: false }, true],
    [{ confidence: 0.1, agreed: false, source: 'touch' }, false],
  ])('says more by agreeing than by its confidence: %o is asked about: %s', (heard, asked) => {
    const walk = new Walk(startOf({ plan: only('pre-start-fill') })).say(both(75), heard);
    expect(walk.types.includes('question')).toBe(asked);
  });
});

describe('needles that moved as far as anything can move them', () => {
  const filledTo = (psi: number, seconds: number): Walk =>
    new Walk(startOf({ plan: only('pre-start-fill', 'governor-cut-out') }))
      .say(both(75), { at: 5, lasting: 1 })
      .say('engine-started', { at: 6, lasting: 0 })
      .say('cut-out', { at: 6, lasting: 0 })
      .say(needles(psi, 75 + Math.min(psi - 75, 5)), { at: 6 + seconds });
  const fannedTo = (psi: number, seconds: number): Walk =>
    running('governor-cut-out', 'governor-cut-in')
      .say('cut-out', { at: 5 })
      .say(both(124), { at: 7, lasting: 1 })
      .say('cut-in', { at: 8, lasting: 0 })
      .say(needles(psi, 119), { at: 8 + seconds });

  // Ours, no source: 15 psi a second up, 20 down, and 5 for the eye.
  it.each([
    [filledTo, 80, 0],
    [filledTo, 95, 1],
    [fannedTo, 119, 0],
    [fannedTo, 99, 1],
    [fannedTo, 79, 2],
  ])('%o: %d psi after %d s are believed, one more is asked about', (to, psi, seconds) => {
    expect(isDoubted(to(psi, seconds))).toBe(false);
    expect(isDoubted(to(to === filledTo ? psi + 1 : psi - 1, seconds))).toBe(true);
  });
});

describe('a plain reading called again', () => {
  it('is of the same needles, however soon', () => {
    const walk = new Walk(startOf({ plan: only('pre-start-fill') })).say(both(57), { at: 5, lasting: 1 });
    expect(isDoubted(walk.say('yes', { at: 6, lasting: 0 }).say(both(75), { at: 6.5 }))).toBe(false);
    expect(walk.types).toContain('read-back');
  });
});

describe('needles with the engine off', () => {
  const risen = (...said: readonly (Said | (() => void))[]): boolean => {
    const walk = new Walk(startOf({ plan: only('low-air-warning') }));
    for (const each of said)
      if (typeof each === 'function')
        walk
          .send({ type: 'interrupted', at: walk.time * 1000, why: 'page-closed' })
          .send({ type: 'resumed', at: walk.time * 1000, wall: '2026-05-04T08:30:00Z' });
      else walk.say(each);
    return isDoubted(walk.sayAll('buzzer', both(66)));
  };
  const longBreak = (): void => undefined;

  it('cannot rise from the moment on that it was called off, as long as that is known', () => {
    expect(risen('engine-off', both(60))).toBe(true);
    expect(risen('engine-off', both(60), primary(60))).toBe(true);
    expect(risen('engine-off', both(60), longBreak)).toBe(false);
    expect(risen({ cues: ['engine-off'], reading: both(60) })).toBe(true);
    const atOnce = new Walk(startOf({ plan: only('low-air-warning') })).say(both(60), { at: 9, lasting: 1 });
    expect(isDoubted(atOnce.say('engine-off', { at: 10 }).sayAll('buzzer', both(66)))).toBe(true);
  });
});

describe('the governor of one check', () => {
  const filled = (first: number, again: number): Walk =>
    running('governor-cut-out', 'refill').sayAll('cut-out', both(first), 'cut-out').say(both(again));
  const built = (psi: number): Walk => {
    const walk = running('governor-cut-out', 'build-up').sayAll('cut-out', both(100), 'fast-idle-set');
    return walk.say(both(86), { at: 40 }).say(needles(psi, 90), { at: 90 });
  };
  const cutIn = (psi: number): Walk =>
    running('governor-cut-out', 'governor-cut-in').sayAll('cut-out', both(120), 'cut-in', needles(110, psi));

  it('cuts out within 10 psi of where it did, either way, and nothing fills further', () => {
    expect([110, 109, 129, 131].map((psi) => isDoubted(filled(120, psi)))).toEqual([false, true, false, true]);
    expect([110, 111].map((psi) => isDoubted(built(psi)))).toEqual([false, true]);
  });

  it('cuts in 5 psi or more below', () => {
    expect([115, 116].map((psi) => isDoubted(cutIn(psi)))).toEqual([false, true]);
  });

  it('is not known by a step that was skipped, nor by the fill before it was tested', () => {
    const skip = { cues: [], command: 'skip', reason: 'no-room' } as const;
    expect(isDoubted(running('governor-cut-out', 'refill').sayAll(skip, 'cut-out', both(90)))).toBe(false);
    expect(isDoubted(running('governor-cut-out', 'governor-cut-in').sayAll(skip, 'cut-in', both(100)))).toBe(false);
  });

  it('whose limit is in kPa is held to it', () => {
    const { profile } = startOf();
    const limit = { figure: 'cutOut', max: 896, strict: false, unit: 'kPa' } as const;
    const tests = profile.tests.map((each) =>
      each.test === 'governor-cut-out' ? { ...each, limits: [{ ...each.limits[0]!, ...limit }] } : each,
    );
    const over = (psi: number): Walk =>
      new Walk(startOf({ plan: only('governor-cut-out', 'refill'), profile: { ...profile, tests } }))
        .knowing('engine-started')
        .sayAll('cut-out', both(126), 'cut-out', both(psi));
    // 896 kPa are 129.95 psi (NIST SP 811, B.8).
    expect([129, 130].map((psi) => isDoubted(over(psi)))).toEqual([false, true]);
  });
});

describe('needles that the step has no place for', () => {
  const building = (): Walk => running('build-up');

  it('count against it from 6 psi up with the engine off', () => {
    const off = (psi: number, ...before: readonly Said[]): Walk =>
      new Walk(startOf({ plan: only('low-air-warning') })).sayAll(...before, needles(90, psi));
    expect(strays(off(95, 'engine-off', both(90)))).toEqual([]);
    expect(strays(off(96, 'engine-off', both(90)))).toEqual([
      '“words” was called, higher than the needles before, with the engine off',
    ]);
    // It may have run until it was called off.
    expect(strays(off(96, both(90), 'engine-off'))).toEqual([]);
    expect(strays(off(96, both(90)))).toEqual([]);
  });

  it('count from 26 psi down while the tanks are filled', () => {
    const filling = (psi: number, step = 'refill'): Walk => {
      const walk = running('governor-cut-in', step).sayAll('cut-in', both(100));
      return walk.say(needles(100, psi), { at: 60 });
    };
    expect(strays(filling(75))).toEqual([]);
    expect(strays(filling(74))[0]).toMatch(/far lower than the needles before, with the engine running$/);
    expect(strays(filling(74, 'low-air-warning'))).toEqual([]);
    expect(strays(building().sayAll(both(100)).say(both(74), { at: 90 })).length).toBe(1);
  });

  it('count from 11 psi above the cut-out, and below 60 psi where the rig is to be moved', () => {
    const after = (psi: number): Walk =>
      running('governor-cut-out', 'governor-cut-in').sayAll('cut-out', both(120)).say(needles(120, psi), { at: 60 });
    expect(strays(after(130))).toEqual([]);
    expect(strays(after(131))[0]).toMatch(/above the pressure at which the governor cut out$/);
    const stop = (psi: number): Walk => running('service-brake-test').say(needles(100, psi));
    expect(strays(stop(60))).toEqual([]);
    expect(strays(stop(59))[0]).toMatch(/too little air to move the rig with$/);
  });

  // Warnings come near 60 psi, valves pop by 45; the rest is room. Ours, no source.
  it.each([
    ['buzzer', 90],
    ['valve-popped', 75],
  ])('“%s” is not called above %d psi', (cue, psi) => {
    const called = (value: number, other = value): Walk =>
      running('pre-start-fill', 'governor-cut-out').sayAll(needles(value, other)).say(cue);
    expect(strays(called(psi))).toEqual([]);
    expect(strays(called(psi + 1))).toEqual([`“${cue}” was called, with the needles at ${psi + 1} psi`]);
    expect(strays(called(120, psi))).toEqual([]);
  });

  it('nor does a governor cut in or out before the engine was started, or one of the step’s own cues count', () => {
    const fill = (...said: readonly string[]): Walk =>
      new Walk(startOf({ plan: only('pre-start-fill', 'governor-cut-out') })).sayAll(...said);
    for (const cue of ['cut-in', 'cut-out'])
      expect(strays(fill(cue))).toEqual([`“${cue}” was called, and no engine that was started`]);
    expect(strays(fill('engine-off', 'cut-in'))).toEqual([]);
    expect(strays(running('build-up').sayAll('fast-idle-set', 'cut-out'))).toEqual([
      '“cut-out” was called before the window was over',
    ]);
    expect(strays(new Walk(startOf({ plan: only('governor-cut-out') })).say('cut-out'))).toEqual([]);
  });

  it('and leave a fail a fail', () => {
    const walk = running('governor-cut-out', 'governor-cut-in').sayAll('cut-out', both(120)).say(both(140), { at: 60 });
    walk.sayAll('cut-in', both(80));
    if (walk.state.phase === 'asking') walk.say('yes');
    expect(walk.state.records[1]?.result).toMatchObject({ verdict: 'fail', flags: [expect.stringMatching(/above/)] });
  });
});

describe('the time that nobody spoke', () => {
  it('is an absence after more than 20 minutes, but not while a hold runs', () => {
    const needed = (seconds: number): readonly string[] => {
      const walk = new Walk(startOf({ plan: only('static-leakage') })).say('engine-off', { at: 10, lasting: 1 });
      return view(walk.say('mirrors-set', { at: 11 + seconds }).state).needed;
    };
    expect([needed(1200).length, needed(1200.001).length]).toEqual([2, 3]);
    const hold = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released', 'settled');
    hold.say(both(118), { at: 18, lasting: 2 }).say(both(116), { at: 1300 });
    expect([hold.types[0], hold.state.phase]).toEqual(['repeat', 'holding']);
  });

  it('is watched for whichever comes first, the other needle or the end of the hold', () => {
    const hold = (at: number): Walk =>
      new Walk(startOf({ plan: only('static-leakage'), settings: { countAloud: false } }))
        .sayAll('engine-off', 'brakes-released', 'settled')
        .say(both(118), { at: 18, lasting: 2 })
        .say(primary(117), { at, lasting: 1 });
    expect(nextDeadline(hold(78).state)).toBe(80_000);
    expect(nextDeadline(hold(80).waitTo(80).state)).toBe(87_000);
  });

  it('since a cue was called leaves it to be taken back over seven callouts that were not taken', () => {
    const after = (others: number): readonly string[] => {
      const walk = new Walk(startOf({ plan: only('static-leakage') })).say('engine-off');
      for (let each = 0; each < others; each += 1) walk.murmur('radio');
      return view(walk.say('correction').state).heard;
    };
    expect([after(7), after(8)]).toEqual([[], ['engine-off']]);
  });
});

describe('air lost before a hold', () => {
  // 120 psi at 10 s, engine off and brakes released before that, then other needles.
  const opened = (psi: number, profile = startOf().profile): Walk =>
    new Walk(startOf({ plan: only('governor-cut-in', 'static-leakage'), profile }))
      .say({ cues: ['engine-off', 'brakes-released'] }, { at: 1, lasting: 0 })
      .say(both(120), { at: 10, lasting: 0 })
      .say({ cues: [], command: 'skip', reason: 'no-room' }, { at: 12 })
      .sayAll('engine-off', 'brakes-released', 'settled')
      .say(both(psi), { at: 310 });
  const withLimits = (limits: readonly object[]): LimitProfile => {
    const { profile } = startOf();
    const tests = profile.tests.map((each) =>
      each.test === 'static-leakage'
        ? { ...each, limits: limits.map((limit) => ({ ...each.limits[0]!, ...limit })) }
        : each,
    );
    return { ...profile, tests };
  };
  /** The lowest needles, in psi, that are believed. */
  const lowest = (profile?: LimitProfile): number => {
    let psi = 120;
    while (psi > 80 && !isDoubted(opened(psi - 1, profile))) psi -= 1;
    return psi;
  };

  it('in five minutes is as much as the largest limit of the profile allows, in its unit, else 3 psi a minute', () => {
    const ours = lowest();
    // 2 psi a minute: common practice. 28 kPa are 4 psi.
    expect(lowest(withLimits([{ max: 4 }]))).toBe(ours - 10);
    expect(lowest(withLimits([{ max: 28, unit: 'kPa/min' }]))).toBe(ours - 10);
    expect(lowest(withLimits([{ max: 2 }, { max: 4 }]))).toBe(ours - 10);
    expect(lowest(withLimits([]))).toBe(ours - 5);
  });
});

describe('one circuit that was corrected before the other was called', () => {
  it('is weighed at where the hold stood, and told of where it would have failed', () => {
    const hold = (...said: readonly Said[]): readonly string[] => {
      const walk = new Walk(startOf({ plan: only('static-leakage') }));
      walk
        .sayAll('engine-off', 'brakes-released', 'settled')
        .say(both(120), { at: 18, lasting: 2 })
        .say(both(119), { at: 40 })
        .waitTo(81);
      walk.sayAll(...said);
      return walk.state.records[0]?.result.flags ?? [];
    };
    const correct = (reading: SpokenReading): Said => ({ cues: [], command: 'correction', reading });
    expect(hold(secondary(119), correct(secondary(118)), primary(119))).toEqual([]);
    expect(hold(secondary(115), correct(secondary(119)), primary(119))).toEqual([
      expect.stringMatching(/^Failed before the needles were corrected: Secondary dropped 5 psi/),
    ]);
  });
});

describe('a moment called in two ways', () => {
  it('is the first, unless the second says that it went wrong', () => {
    const warning = new Walk(startOf({ plan: only('low-air-warning') })).sayAll('engine-off', 'buzzer', 'no-warning');
    expect(warning.state.progress.outcome?.cue).toBe('no-warning');
    const plan: Plan = only('refill');
    const steps = plan.steps.map((step) => ({ ...step, outcomes: ['cut-out', 'cut-in'] }));
    const fill = new Walk(startOf({ plan: { ...plan, steps } })).knowing('engine-started').sayAll('cut-out', 'cut-in');
    expect(fill.state.progress.outcome?.cue).toBe('cut-out');
  });
});
