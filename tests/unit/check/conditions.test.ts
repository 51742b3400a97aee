import { describe, expect, it } from 'vitest';
import { view } from '../../../src/check/view.ts';
import type { Meaning } from '../../../src/grammar/meaning.ts';
import { needles, only, primary, secondary, startOf, TENDER_34, Walk } from './support/say.ts';

const correction = (cue: string): Meaning => ({ cues: [cue], command: 'correction' });
const LEAKS = ['static-leakage', 'applied-leakage', 'low-air-warning'] as const;

/** A static hold that runs from 20 s to 80 s, in a live check or a recording. */
function holding(asking: 'ask' | 'assume' = 'ask'): Walk {
  const walk = new Walk(startOf({ plan: only(...LEAKS), asking })).sayAll('engine-off', 'brakes-released', 'settled');
  return walk.say(needles(120, 120), { at: 18, lasting: 2 });
}

/** An applied hold that runs from 20 s to 80 s. */
function holdingApplied(asking: 'ask' | 'assume' = 'ask'): Walk {
  const plan = only('applied-leakage', 'low-air-warning', 'spring-brake-activation');
  const walk = new Walk(startOf({ plan, asking })).knowing('engine-off', 'brakes-released');
  return walk.sayAll('brake-applied', 'settled').say(needles(110, 110), { at: 18, lasting: 2 });
}

/** A build-up whose window runs from 20 s. */
function building(asking: 'ask' | 'assume' = 'ask'): Walk {
  const walk = new Walk(startOf({ plan: only('build-up', 'final-fill', 'tug-test'), asking }));
  return walk.sayAll('engine-started', 'fast-idle-set').say(needles(85, 85), { at: 20 });
}

const ended = (walk: Walk): Walk => walk.send({ type: 'end', at: 900_000 });

describe('a callout that contradicts a condition of the measurement under way', () => {
  it.each([
    ['static hold', holding, 'engine-started', 'engine off'],
    ['static hold', holding, 'parking-brake-set', 'parking brake released'],
    ['static hold', holding, 'fast-idle-set', 'engine off'],
    ['static hold', holding, 'cut-out', 'engine off'],
    ['static hold', holding, 'chocks-stowed', 'chocks set'],
    ['applied hold', holdingApplied, 'brakes-released', 'brake pedal applied'],
    ['applied hold', holdingApplied, 'engine-started', 'engine off'],
    ['build window', building, 'engine-off', 'engine running'],
    ['build window', building, 'fast-idle-off', 'fast idle on'],
    ['build window', building, 'brake-applied', 'brake pedal free'],
  ] as const)('in a %s leaves no verdict: %#', (_, begin, cue, what) => {
    for (const asking of ['ask', 'assume'] as const) {
      const walk = begin(asking);
      const id = walk.step ?? '';
      walk.say(cue, { at: 40 });
      expect(walk.last[0]).toMatchObject({ type: 'contradicted', cue });
      expect(walk.state.callouts.at(-1)?.taken).toBe(true);
      // What follows as if nothing had been said.
      walk.say(begin === building ? needles(100, 100) : needles(110, 110), { at: 81 });
      ended(walk);
      expect(walk.verdict(id)).toBe('not judged');
      expect(walk.state.records[0]?.result.reason).toContain(`“${cue}” was called, and the condition is ${what}`);
      expect(walk.state.verdict).toBe('incomplete');
    }
  });

  it('asks for the cue again that is no longer true, and judges the measurement that is begun anew', () => {
    const walk = holding().say('engine-started', { at: 40 });
    expect(view(walk.state)).toMatchObject({ needed: ['engine-off', 'settled'], repeatBecause: 'contradicted' });
    walk.say('engine-off', { at: 50 }).say('settled', { at: 53 }).say(needles(119, 119), { at: 58, lasting: 2 });
    walk.waitTo(120).say(needles(119, 119), { at: 121 });
    expect(walk.verdict('static-leakage')).toBe('pass');
  });

  it('is the end of the step when it is what the next step begins with', () => {
    const walk = holding().say('brake-applied', { at: 77 });
    expect(walk.last).toMatchObject([
      { type: 'left' },
      { type: 'brief', step: { id: 'applied-leakage' } },
      { type: 'noted' },
    ]);
    expect(walk.state.records[0]).toMatchObject({
      outcome: 'unfinished',
      result: { verdict: 'not judged', reason: expect.stringContaining('“brake-applied” was called') as string },
    });
    expect(walk.state.progress.cues).toEqual(['brake-applied']);
    walk.say('go-back').say('go-back');
    expect(walk.step).toBe('static-leakage');
  });

  it('counts when the words are those of the same breath as the needles', () => {
    const walk = new Walk(startOf({ plan: only('low-air-warning', 'build-up') })).knowing('engine-off');
    walk.sayAll('buzzer').say({ cues: ['engine-started'], reading: needles(62, 63) });
    expect(ended(walk).verdict('low-air-warning')).toBe('not judged');
  });
});

describe('needles within a hold', () => {
  it('of one circuit fail it at once when they are over its limit, with drop and time, once confirmed', () => {
    const walk = holding().say(primary(116), { at: 40 });
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail', reading: primary(116) }]);
    walk.say('yes', { at: 43 });
    expect(walk.verdict('static-leakage')).toBe('fail');
    expect(walk.state.records[0]?.result.reason).toMatch(/^Primary dropped 4 psi in only 20 s/);
    expect(walk.step).toBe('applied-leakage');
  });

  it('fail it in a recording too, and nothing that is called later takes that back', () => {
    const walk = holding('assume').say(primary(116), { at: 40 }).say('engine-started', { at: 50 });
    walk.say(needles(120, 120), { at: 80 });
    expect(ended(walk).verdict('static-leakage')).toBe('fail');
  });

  it('are dropped by a no, and replaced by a correction, without a change to the first reading', () => {
    expect(holding().say(primary(116), { at: 40 }).say('no', { at: 43 }).state.progress).toMatchObject({
      readings: [needles(120, 120)],
    });
    const walk = holding().say(secondary(119), { at: 40 });
    walk.say({ cues: [], command: 'correction', reading: secondary(118) }, { at: 44 });
    expect(walk.state.progress).toMatchObject({ readings: [needles(120, 120)], within: [secondary(118)] });
  });

  it('that are taken back leave the hold running, to be closed by a later call', () => {
    const walk = holding().say(primary(116), { at: 40 }).say('yes', { at: 43 });
    walk.say({ cues: [], command: 'correction', reading: primary(119) }, { at: 46 });
    expect(walk.step).toBe('static-leakage');
    walk.waitTo(81).say(needles(119, 119), { at: 81 });
    expect(walk.verdict('static-leakage')).toBe('pass');
  });

  it('do not close it: a call at 50 s and the next step leave it without a verdict', () => {
    for (const asking of ['ask', 'assume'] as const) {
      const walk = holding(asking)
        .say(needles(120, 120), { at: 70 })
        .sayAll('brake-applied', 'settled', needles(112, 112));
      expect(walk.verdict('static-leakage')).toBe('not judged');
      expect(walk.step).toBe('applied-leakage');
    }
  });
});

describe('a hold may not begin', () => {
  it.each([
    ['static-leakage', needles(20, 20), /85 psi or more/],
    ['static-leakage', needles(84, 120), /85 psi or more/],
    ['static-leakage', needles(122, 90), /25 psi apart/],
    ['static-leakage', needles(90, 122), /25 psi apart/],
    ['applied-leakage', needles(18, 18), /80 psi or more/],
  ] as const)('%s with %o', (id, opening, what) => {
    for (const asking of ['ask', 'assume'] as const) {
      const walk = new Walk(startOf({ plan: only(id), asking })).knowing('engine-off', 'brakes-released');
      walk.sayAll(...(id === 'static-leakage' ? ['engine-off', 'brakes-released'] : ['brake-applied']), 'settled');
      walk.say(opening);
      expect(walk.last).toMatchObject([{ type: 'unfit-start' }, { type: 'still-needed' }]);
      walk.waitTo(walk.time + 62).say(opening);
      expect(ended(walk).verdict(id)).toBe('not judged');
      expect(walk.state.records[0]?.result.reason).toMatch(what);
    }
  });
});

describe('the needles of a moment', () => {
  it.each(['governor-cut-out cut-out engine-started', 'low-air-warning buzzer engine-off'])(
    'count up to 10 s after it: %s',
    (words) => {
      const [id = '', cue = '', engine = ''] = words.split(' ');
      const [prompt, late] = [10, 10.001].map((after) => {
        const walk = new Walk(startOf({ plan: only(id, 'tug-test') })).knowing(engine).say(cue, { at: 20 });
        return walk.say(id === 'low-air-warning' ? needles(65, 65) : needles(120, 120), { at: 20 + after });
      });
      expect(prompt?.verdict(id)).toBe('pass');
      expect(late?.last).toMatchObject([{ type: 'repeat', because: 'needles-late' }, { type: 'still-needed' }]);
      expect(ended(late!).verdict(id)).toBe('not judged');
    },
  );

  it('are not those of the build-up: buzzer, engine started, both at 85', () => {
    for (const asking of ['ask', 'assume'] as const) {
      const plan = only('low-air-warning', 'spring-brake-activation', 'build-up');
      const walk = new Walk(startOf({ plan, asking }))
        .knowing('engine-off', 'brakes-released')
        .say('buzzer', { at: 20 });
      walk.say('engine-started', { at: 24 }).say(needles(65, 65), { at: 27 }).say(needles(85, 85), { at: 60 });
      expect(ended(walk).verdict('low-air-warning')).toBe('not judged');
    }
  });
});

describe('what is not known', () => {
  it('leaves a tug test without a verdict when nobody said that the parking brake is set', () => {
    const walk = new Walk(startOf({ plan: only('tug-test') })).knowing('engine-started', 'brakes-released');
    walk.sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held');
    expect(walk.verdict('tug-test')).toBe('not judged');
    expect(walk.state.records[0]?.result.conditions).toContainEqual(
      expect.objectContaining({ what: 'parking brake set', state: 'contradicted' }),
    );
  });

  it('takes no hand valve test while the parking brake holds the rig: it is to be done again', () => {
    const walk = new Walk(
      startOf({ plan: only('hand-valve-test', 'service-brake-test'), rig: TENDER_34, asking: 'assume' }),
    );
    walk.knowing('engine-started', 'valve-popped').sayAll('hand-valve-held', 'brakes-released');
    expect(walk.verdict('hand-valve-test')).toBeUndefined();
    walk.sayAll('hand-valve-held', 'straight-stop', 'check-complete');
    expect(walk.verdict('hand-valve-test')).toBe('pass');
  });

  it('takes no tug before the rig is called in drive, tells what lacks, and lets it be done again', () => {
    const walk = new Walk(startOf({ plan: only('tug-test') })).knowing('engine-started', 'parking-brake-set');
    expect(walk.sayAll('chocks-stowed', 'belts-on', 'rig-held').last).toMatchObject([
      { type: 'still-needed', cues: ['in-drive', 'rig-held', 'rig-moved'] },
    ]);
    expect(walk.say('in-drive').verdict('tug-test')).toBeUndefined();
    expect(walk.say('rig-held').verdict('tug-test')).toBe('pass');
  });

  it('never passes over a rig that moved before it was called in drive', () => {
    const walk = new Walk(startOf({ plan: only('tug-test') })).knowing('engine-started', 'parking-brake-set');
    walk.sayAll('chocks-stowed', 'belts-on', 'rig-moved', 'in-drive');
    expect(walk.verdict('tug-test')).not.toBe('pass');
    expect(walk.verdict('tug-test')).toBeDefined();
  });

  it('is shown with every verdict: known by which callout, or assumed', () => {
    const walk = holding().waitTo(81).say(needles(120, 119), { at: 81 });
    expect(walk.verdict('static-leakage')).toBe('pass');
    const conditions = walk.state.records[0]?.result.conditions ?? [];
    expect(conditions.map(({ what, state, by }) => [what, state, by?.heard])).toEqual([
      ['engine off', 'known', 'engine-off'],
      ['parking brake released', 'known', 'brakes-released'],
      ['brake pedal free', 'known', 'brakes-released'],
      ['needles settled', 'known', 'settled'],
      ['both needles at 85 psi or more', 'known', undefined],
      ['needles no more than 25 psi apart', 'known', undefined],
      ['chocks set', 'assumed', undefined],
      ['ground level', 'assumed', undefined],
    ]);
  });

  it('is what a plan and a profile demand besides', () => {
    const source = { document: 'Tamarack Flats order 12', sure: 'practice' } as const;
    const plan = only('static-leakage');
    const chocked = {
      ...plan,
      steps: plan.steps.map((step) => ({
        ...step,
        conditions: [{ part: 'chocks', is: 'set', known: 'must', source }] as const,
      })),
    };
    const judgedOn = (walk: Walk): string | undefined => {
      walk.sayAll('engine-off', 'brakes-released', 'settled', needles(120, 120));
      return ended(walk.waitTo(walk.time + 61).say(needles(120, 119))).verdict('static-leakage');
    };
    expect(judgedOn(new Walk(startOf({ plan: chocked })))).toBe('not judged');
    expect(judgedOn(new Walk(startOf({ plan: chocked })).knowing('chocks-set'))).toBe('pass');
  });
});

describe('what went wrong', () => {
  const tug = (): Walk =>
    new Walk(startOf({ plan: only('tug-test', 'service-brake-test') }))
      .knowing('engine-started', 'parking-brake-set')
      .sayAll('chocks-stowed', 'belts-on', 'in-drive');

  it('fails a step that was passed, however soon or late it is called', () => {
    for (const after of [3, 60]) {
      const walk = tug().say('rig-held');
      expect(walk.verdict('tug-test')).toBe('pass');
      walk.say('rig-moved', { at: walk.time + after });
      expect(walk.verdict('tug-test')).toBe('fail');
      expect(walk.last).toMatchObject([{ type: 'verdict', result: { verdict: 'fail' } }]);
    }
  });

  it('is not taken back by its opposite alone, but by a correction, and both stay in the log', () => {
    const early = new Walk(startOf({ plan: only('tug-test') })).knowing('engine-started', 'parking-brake-set');
    early.sayAll('chocks-stowed', 'in-drive', 'rig-moved', 'rig-held');
    expect(early.last).toEqual([{ type: 'sticks', held: 'rig-moved', said: 'rig-held' }]);
    early.say(correction('rig-held')).say('belts-on');
    expect(early.verdict('tug-test')).toBe('pass');
    expect(early.state.callouts.map(({ heard }) => heard)).toContain('rig-moved');
  });

  it('can be corrected in two breaths, and after its step', () => {
    const walk = tug().say('rig-moved');
    expect(walk.verdict('tug-test')).toBe('fail');
    walk.say('rig-held');
    expect(walk.verdict('tug-test')).toBe('fail');
    walk.say(correction('rig-held'));
    expect(walk.verdict('tug-test')).toBe('pass');
    const twice = tug().sayAll('rig-moved', 'correction');
    expect(twice.last).toEqual([{ type: 'say-what-it-was' }]);
    expect(twice.say('rig-held').verdict('tug-test')).toBe('pass');
  });

  it('stays with a pull to the side', () => {
    const walk = new Walk(startOf({ plan: only('service-brake-test') })).knowing('engine-started');
    expect(walk.sayAll('pulled-left', 'straight-stop', 'check-complete').verdict('service-brake-test')).toBe('fail');
  });

  it('is a warning that never came, though “buzzer” was called first and its step is over', () => {
    const walk = new Walk(startOf({ plan: only('low-air-warning', 'spring-brake-activation') })).knowing(
      'engine-off',
      'brakes-released',
    );
    walk.sayAll('buzzer', needles(62, 63));
    expect(walk.verdict('low-air-warning')).toBe('pass');
    walk.say('no-warning');
    expect(walk.verdict('low-air-warning')).toBe('not judged');
  });
});

describe('a governor', () => {
  const governor = (): Walk =>
    new Walk(startOf({ plan: only('governor-cut-out', 'governor-cut-in'), asking: 'assume' })).knowing(
      'engine-started',
    );

  it.each([
    [needles(120, 120), needles(130, 130)],
    [needles(90, 90), needles(89, 89)],
  ])('cannot cut in at or hardly below its cut-out: %o, %o', (out, into) => {
    const walk = governor().sayAll('cut-out', out, 'cut-in', into);
    expect(ended(walk).verdict('governor-cut-in')).toBe('not judged');
    expect(walk.state.records[1]?.progress.readings[0]).toMatchObject({ unconfirmed: true, doubted: true });
  });

  it('is not judged with circuits that stand far apart', () => {
    expect(governor().sayAll('cut-out', needles(122, 40)).say('yes').verdict('governor-cut-out')).toBe('not judged');
  });
});

describe('needles that the air cannot have moved so', () => {
  it.each(['ask', 'assume'] as const)(
    'are asked about in a build window, faster than any compressor (%s)',
    (asking) => {
      const walk = building(asking).say(needles(100, 100), { at: 24 });
      expect(walk.last).toMatchObject([{ type: 'question', because: 'implausible' }]);
      if (asking === 'assume') {
        expect(ended(walk).verdict('build-up')).toBe('not judged');
        return;
      }
      walk.say('yes');
      expect(walk.verdict('build-up')).toBe('marginal');
      expect(walk.state.records[0]?.result.flags?.[0]).toMatch(/can hardly follow .* confirmed when asked/);
    },
  );
});
