import { describe, expect, it } from 'vitest';
import { view } from '../../../src/check/view.ts';
import type { Plan } from '../../../src/check/plan.ts';
import type { SpokenReading } from '../../../src/grammar/meaning.ts';
import { needles, only, primary, secondary, startOf, Walk } from './support/say.ts';

const filling = (): Walk => new Walk(startOf({ plan: only('pre-start-fill') }));
const cuttingOut = (asking: 'ask' | 'assume' = 'ask'): Walk =>
  new Walk(startOf({ plan: only('governor-cut-out', 'governor-cut-in'), asking })).knowing('engine-started');

/** A static hold that runs from 20 s to 80 s. */
const holding = (asking: 'ask' | 'assume' = 'ask'): Walk =>
  new Walk(startOf({ plan: only('static-leakage', 'applied-leakage'), asking }))
    .sayAll('engine-off', 'brakes-released', 'settled')
    .say(needles(120, 120), { at: 18, lasting: 2 });

const kPa = (one: number, other: number): SpokenReading => ({
  primary: { value: one, unit: 'kPa' },
  secondary: { value: other, unit: 'kPa' },
});

/** True when what was called last is asked about because the needles can hardly have shown it. */
const isDoubted = ({ last }: Walk): boolean =>
  last.some((answer) => answer.type === 'question' && answer.because === 'implausible');

describe('two needles called one after the other', () => {
  it('are one reading up to 6 s apart', () => {
    const called = (at: number): Walk => filling().say(primary(75), { at: 5, lasting: 1 }).say(secondary(74), { at });
    expect(called(12).state.progress.readings).toMatchObject([{ ...needles(75, 74), start: 5000 }]);
    expect(called(12.001).state.progress).toMatchObject({ readings: [], half: { reading: secondary(74) } });
  });

  it('are one reading up to 20 s apart once the missing one was asked for', () => {
    const called = (at: number): Walk =>
      filling().say(primary(75), { at: 5, lasting: 1 }).waitTo(13).say(secondary(74), { at });
    expect(called(26).state.progress.readings).toMatchObject([{ ...needles(75, 74), start: 5000 }]);
    expect(called(26.001).state.progress.readings).toEqual([]);
  });

  it('are asked about when the first is called otherwise the second time', () => {
    const walk = filling().say(primary(75), { at: 5 }).say(needles(79, 74), { at: 8 });
    expect(walk.last).toMatchObject([{ type: 'question', because: 'implausible', reading: needles(79, 74) }]);
    const same = filling().say(primary(75), { at: 5 }).say(needles(75, 74), { at: 8 });
    expect(same.state.progress.readings).toMatchObject([{ ...needles(75, 74), start: 8000 }]);
    const one = filling().say(primary(75), { at: 5 }).say(primary(57), { at: 8 }).say(secondary(74), { at: 10 });
    expect(one.state.progress.readings).not.toMatchObject([needles(75, 74)]);
    // Long after it, they are another reading.
    const late = filling().say(primary(75), { at: 5, lasting: 1 }).say(needles(79, 74), { at: 12.001 });
    expect(late.state.progress.readings).toMatchObject([needles(79, 74)]);
  });

  it('are asked about one by one', () => {
    const unsure = filling().say(primary(75), { confidence: 0.1 });
    expect(unsure.last).toMatchObject([{ type: 'question', because: 'low-confidence', reading: primary(75) }]);
    unsure.say('yes');
    expect(unsure.state.progress.half?.reading).toMatchObject(primary(75));
    expect(unsure.say(secondary(74)).state.progress.readings).toMatchObject([needles(75, 74)]);
    const amended = filling().say(primary(57), { confidence: 0.1 }).say(primary(75));
    expect(amended.state.progress.half?.reading).toMatchObject(primary(75));
  });

  it('show on the screen as they come', () => {
    const walk = filling().say(primary(75));
    expect(view(walk.state)).toMatchObject({ latest: primary(75), missingCircuit: 'secondary' });
    expect(view(filling().say(secondary(74)).state).missingCircuit).toBe('primary');
    expect(view(walk.say(secondary(74)).state).latest).toEqual(needles(75, 74));
  });
});

describe('needles that were rejected', () => {
  const denied = (): Walk => holdingOpen().say('no', { at: 14, lasting: 1 });
  /** The first needles of a hold, asked about since they were not understood well. */
  const holdingOpen = (): Walk =>
    new Walk(startOf({ plan: only('static-leakage') }))
      .sayAll('engine-off', 'brakes-released', 'settled')
      .say(needles(112, 120), { at: 11, lasting: 2, confidence: 0.1 });

  it('called again within half a minute keep the moment at which they were first called', () => {
    const rejected = (): Walk =>
      filling().say(needles(57, 74), { at: 11, lasting: 2, confidence: 0.1 }).say('no', { at: 14, lasting: 1 });
    const again = rejected().say(needles(75, 74), { at: 44, lasting: 1 });
    expect(again.state.progress.readings).toMatchObject([{ start: 11_000, end: 45_000 }]);
    const later = rejected().say(needles(75, 74), { at: 44.001, lasting: 1 });
    expect(later.state.progress.readings).toMatchObject([{ start: 44_001 }]);
  });

  it('begin a hold when they are called again: what fell before that, nobody would count', () => {
    const again = denied().say(needles(118, 118), { at: 20, lasting: 1 });
    expect(again.state.progress.readings).toMatchObject([{ start: 20_000, end: 21_000 }]);
  });

  it('within a hold are over: the next are a reading of their own', () => {
    const walk = holding().say(primary(112), { at: 30, confidence: 0.1 }).say('no').say(needles(120, 120), { at: 50 });
    expect(walk.state.progress.within).toMatchObject([{ ...needles(120, 120), start: 50_000 }]);
  });

  it('in any other unit are other needles', () => {
    const walk = filling().say(needles(75, 75), { confidence: 0.1 }).say(kPa(75, 75));
    expect(walk.state.progress.readings).not.toMatchObject([needles(75, 75)]);
  });

  it('are never taken without an answer: others are one, however late', () => {
    for (const at of [21, 120]) {
      const late = filling().say(needles(57, 74), { at: 5, lasting: 1, confidence: 0.1 }).say(needles(75, 74), { at });
      expect(late.state.progress.readings).toMatchObject([needles(75, 74)]);
      expect(late.state.callouts.some(({ unconfirmed }) => unconfirmed === true)).toBe(false);
    }
  });

  it('that would fail their step fail it, where they were not answered for 15 s', () => {
    const asked = (at: number): Walk =>
      holding().waitTo(81).say(needles(110, 119), { at: 81 }).say(needles(119, 119), { at });
    expect(asked(97).verdict('static-leakage')).not.toBe('fail');
    expect(asked(97.001).verdict('static-leakage')).toBe('fail');
  });
});

describe('the needles of a moment in two callouts', () => {
  it('count when the second is over within 15 s of the moment', () => {
    const called = (end: number): Walk =>
      cuttingOut()
        .say('cut-out', { at: 20, lasting: 0 })
        .say(primary(120), { at: 29, lasting: 1 })
        .say(secondary(119), { at: end - 1, lasting: 1 });
    expect(called(35).verdict('governor-cut-out')).toBe('pass');
    expect(called(35.001).last).toMatchObject([{ type: 'repeat', because: 'needles-late' }, { type: 'still-needed' }]);
  });

  it('that was called anew count from the new one, once its needles were late', () => {
    const walk = cuttingOut().say('cut-out', { at: 20 }).say('cut-out', { at: 30 }).say(needles(120, 119), { at: 35 });
    expect(walk.types).toContain('repeat');
    const anew = cuttingOut().say('cut-out', { at: 20 }).say('cut-out', { at: 30.001 });
    expect(anew.say(needles(120, 119), { at: 40 }).state.records[0]?.result).toMatchObject({
      verdict: 'pass',
      flags: ['“cut out” was called 10 s before, without needles in time'],
    });
  });

  it('is not moved when it is called again after its needles', () => {
    const plan: Plan = only('governor-cut-out');
    const steps = plan.steps.map((step) => ({ ...step, cuesAfter: ['fast-idle-off'] }));
    const walk = new Walk(startOf({ plan: { ...plan, steps } })).knowing('engine-started');
    walk.say('cut-out', { at: 20 }).say(needles(120, 119), { at: 22 }).say('cut-out', { at: 60 });
    expect(walk.state.progress.outcome?.at).toBe(20_000);
    expect(walk.say('fast-idle-off').verdict('governor-cut-out')).toBe('pass');
  });

  it('called once more before the step is over are asked about where they would fail it', () => {
    const plan: Plan = only('governor-cut-out');
    const steps = plan.steps.map((step) => ({ ...step, cuesAfter: ['engine-off'] }));
    const walk = new Walk(startOf({ plan: { ...plan, steps } })).knowing('engine-started');
    walk.sayAll('cut-out', needles(120, 119));
    expect(walk.say(needles(121, 119)).types).not.toContain('question');
    expect(walk.say(needles(140, 119)).last).toMatchObject([{ type: 'question', because: 'would-fail' }]);
    expect(walk.say('yes').say('engine-off').verdict('governor-cut-out')).toBe('fail');
  });
});

describe('needles of the step after a hold', () => {
  it('have to follow from those that closed it', () => {
    const walk = holding().waitTo(80).say(needles(110, 119), { at: 80 }).sayAll('yes', 'brake-applied', 'settled');
    expect(walk.step).toBe('applied-leakage');
    expect(isDoubted(walk.say(needles(117, 117)))).toBe(true);
  });
});

describe('what no dial shows', () => {
  it.each<[SpokenReading, boolean]>([
    [needles(160, 100), false],
    [needles(161, 100), true],
    [kPa(1103, 700), false],
    [kPa(1104, 700), true],
    [secondary(161), true],
    [needles(0, 0), false],
  ])('%o is asked about: %s', (reading, asked) => {
    expect(isDoubted(filling().say(reading))).toBe(asked);
  });

  it('may be less in a step', () => {
    const plan = only('pre-start-fill');
    const plausible = { min: { value: 40, unit: 'psi' }, max: { value: 130, unit: 'psi' } } as const;
    const walk = (): Walk =>
      new Walk(startOf({ plan: { ...plan, steps: plan.steps.map((step) => ({ ...step, plausible })) } }));
    for (const value of [39, 131]) expect(isDoubted(walk().say(needles(value, 100)))).toBe(true);
    for (const value of [40, 130]) expect(isDoubted(walk().say(needles(value, 100)))).toBe(false);
  });
});

describe('needles that fall while the tanks are filled', () => {
  const building = (): Walk =>
    new Walk(startOf({ plan: only('build-up', 'final-fill') }))
      .sayAll('engine-started', 'fast-idle-set')
      .say(needles(86, 86), { at: 10 });

  it('by 6 psi are asked about, by 5 not', () => {
    expect(building().say(needles(80, 90), { at: 20 }).last).toMatchObject([
      { type: 'question', because: 'implausible' },
    ]);
    expect(building().say(needles(81, 90), { at: 20 }).types).not.toContain('question');
  });
});

describe('needles that rise while the tanks are filled', () => {
  const built = (seconds: number, speed: 'fast-idle-set' | 'fast-idle-off' = 'fast-idle-set'): Walk =>
    new Walk(
      startOf({
        plan: only('build-up', 'final-fill'),
        rig: { ...startOf().rig, fitted: { fastIdle: speed === 'fast-idle-set' } },
      }),
    )
      .sayAll('engine-started', speed)
      .say(needles(85, 85), { at: 20, lasting: 1 })
      .say(needles(99, 99), { at: 21 + seconds });

  it('are asked about when they rise faster than they can at that speed of the engine', () => {
    expect(isDoubted(built(3))).toBe(true);
    expect(isDoubted(built(6))).toBe(false);
    expect(isDoubted(built(6, 'fast-idle-off'))).toBe(true);
    expect(isDoubted(built(10, 'fast-idle-off'))).toBe(false);
  });
});

describe('spring brakes', () => {
  const fanned = (pop: SpokenReading): Walk =>
    new Walk(startOf({ plan: only('low-air-warning', 'spring-brake-activation') }))
      .knowing('engine-off', 'brakes-released')
      .sayAll('buzzer', needles(30, 60), 'yes', 'valve-popped', pop);

  it('that come on above the warning are asked about: the needle that is lower counts', () => {
    expect(isDoubted(fanned(needles(31, 44)))).toBe(true);
    expect(isDoubted(fanned(needles(30, 44)))).toBe(false);
  });
});

describe('needles while the engine is off', () => {
  const risen = (...said: readonly (string | SpokenReading)[]): Walk =>
    new Walk(startOf({ plan: only('low-air-warning') })).sayAll(...said, 'buzzer', needles(66, 66));

  it('cannot have risen since they were called last, unless the engine may have run meanwhile', () => {
    expect(isDoubted(risen('engine-off', needles(60, 60)))).toBe(true);
    expect(isDoubted(risen('engine-off', needles(66, 66)))).toBe(false);
    expect(isDoubted(risen('engine-off', needles(70, 70)))).toBe(false);
    expect(isDoubted(risen('engine-off', needles(60, 66)))).toBe(true);
    expect(isDoubted(risen('engine-off', primary(60)))).toBe(false);
    expect(isDoubted(risen(needles(60, 60), 'engine-off'))).toBe(false);
    expect(isDoubted(risen(needles(60, 60)))).toBe(false);
  });
});

describe('needles within a hold', () => {
  it('that can hardly be so, of one circuit, are named alone in the flag', () => {
    for (const [reading, words] of [
      [primary(130), 'Primary 130 psi'],
      [secondary(130), 'Secondary 130 psi'],
    ] as const) {
      const walk = holding('assume').say(reading, { at: 40 }).say(needles(119, 119), { at: 81 });
      walk.send({ type: 'end', at: 900_000 });
      expect(walk.verdict('static-leakage')).toBe('not judged');
      expect(walk.state.records[0]?.result.reason).toBe(
        `${words} can hardly follow from the needles before, and nobody could be asked; repeat it.`,
      );
    }
  });

  it('are told how long the hold still has, and nothing less than none', () => {
    expect(holding().say(needles(120, 120), { at: 75, lasting: 1 }).last.at(-1)).toEqual({
      type: 'hold-not-over',
      seconds: 4,
    });
    const late = holding().say(needles(130, 120), { at: 76, lasting: 1 }).say('yes', { at: 90 });
    expect(late.last).toMatchObject([{ type: 'read-back' }, { type: 'hold-not-over', seconds: 0 }]);
  });

  it('are amended in answer to their question', () => {
    const walk = holding()
      .say(primary(116), { at: 40 })
      .say({ ...correctionOf(primary(119)) }, { at: 43 });
    expect(walk.state.progress.within).toMatchObject([primary(119)]);
    expect(walk.state.phase).toBe('holding');
    const other = holding().say(primary(116), { at: 40 }).say(primary(119), { at: 43 });
    expect(other.state.progress.within).toMatchObject([primary(119)]);
    const closing = holding()
      .waitTo(80)
      .say(needles(111, 119), { at: 80 })
      .say(correctionOf(primary(119)), { at: 84 });
    expect(closing.verdict('static-leakage')).toBe('pass');
    const bare = holding().say(primary(116), { at: 40 }).say('correction', { at: 43 });
    expect(bare.types).toEqual(['call-again']);
    expect(bare.state.phase).toBe('holding');
  });
});

function correctionOf(reading: SpokenReading) {
  return { cues: [], command: 'correction', reading } as const;
}

describe('needles that the step has no use for', () => {
  it('before its moment are no reading, but what comes after has to follow from them', () => {
    const walk = new Walk(startOf({ plan: only('low-air-warning') })).knowing('engine-off');
    walk.say(needles(60, 60), { at: 10 });
    expect(walk.state.progress.readings).toEqual([]);
    expect(view(walk.state).latest).toEqual(needles(60, 60));
    expect(walk.say('buzzer', { at: 14 }).say(needles(66, 66), { at: 16 }).last).toMatchObject([
      { type: 'question', because: 'implausible' },
    ]);
  });

  it('before the cab is as a hold must have it begin none', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', needles(120, 120));
    expect(walk.state.progress.readings).toEqual([]);
    walk.sayAll('brakes-released', 'settled');
    expect(walk.state.phase).toBe('listening');
    const other = new Walk(startOf({ plan: only('static-leakage') })).knowing('engine-started', 'brakes-released');
    expect(other.say(needles(120, 120)).state.progress.readings).toEqual([]);
    const parked = new Walk(startOf({ plan: only('applied-leakage') })).knowing('engine-off', 'brakes-released');
    parked.sayAll('parking-brake-set', 'brake-applied', 'settled', needles(110, 110));
    expect(parked.last[0]).toMatchObject({ type: 'unfit-start', condition: { part: 'parking brake' } });
    // Settled needles are assumed: they may be called just before that is said.
    const early = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released');
    expect(early.say(needles(120, 120)).state.progress.readings).toHaveLength(1);
  });

  it('in a step without needles leave it as it was', () => {
    const walk = new Walk(startOf({ plan: only('approach') })).say(needles(75, 74));
    expect(walk.state.progress.readings).toEqual([]);
    expect(view(walk.state).latest).toBeUndefined();
  });
});

describe('needles of a fill', () => {
  it('are asked about where a fill ends above the limit that the same governor was held against', () => {
    const filled = (psi: number): Walk =>
      new Walk(startOf({ plan: only('governor-cut-out', 'refill') }))
        .knowing('engine-started')
        .sayAll('cut-out', needles(126, 126), 'cut-out')
        .say(needles(psi, psi));
    // At most 130 psi: common practice, no source.
    expect(isDoubted(filled(130))).toBe(false);
    expect(isDoubted(filled(131))).toBe(true);
  });
});

describe('needles as the brake is applied', () => {
  it('are told of when they do not fall at all', () => {
    const flagged = (psi: number): readonly string[] | undefined => {
      const walk = holding().waitTo(81).say(needles(120, 120)).sayAll('brake-applied', 'settled', needles(psi, 120));
      walk.waitTo(walk.time + 61).say(needles(psi, 120));
      expect(walk.verdict('applied-leakage')).toBe('pass');
      return walk.state.records[1]?.result.flags;
    };
    expect(flagged(119)).toBeUndefined();
    expect(flagged(120)).toEqual([
      'The needles did not fall when the brake was applied: that it was, rests on the callout alone',
    ]);
  });
});

describe('limits for several vehicles', () => {
  it('are none of a rig that has no trailer', () => {
    const condition = 'engine off, brakes released, three vehicles';
    const { profile, rig } = startOf();
    const tests = profile.tests.map((test) =>
      test.test === 'static-leakage'
        ? { ...test, limits: test.limits.map((limit) => ({ ...limit, condition })) }
        : test,
    );
    const verdict = (trailer?: boolean): string | undefined => {
      const fitted = trailer === undefined ? {} : { trailer };
      const start = startOf({ plan: only('static-leakage'), profile: { ...profile, tests }, rig: { ...rig, fitted } });
      const walk = new Walk(start).sayAll('engine-off', 'brakes-released', 'settled');
      return walk.say(needles(120, 120), { at: 18 }).waitTo(81).say(needles(120, 120)).verdict('static-leakage');
    };
    expect([verdict(true), verdict(), verdict(false)]).toEqual(['pass', 'pass', 'not judged']);
  });
});
