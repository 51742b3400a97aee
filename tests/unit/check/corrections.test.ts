import { describe, expect, it } from 'vitest';
import { view } from '../../../src/check/view.ts';
import type { Meaning, SpokenReading } from '../../../src/grammar/meaning.ts';
import { needles, only, primary, secondary, startOf, Walk, type Said } from './support/say.ts';

const correction = (reading: SpokenReading): Meaning => ({ cues: [], command: 'correction', reading });

describe('a correction', () => {
  it('of one circuit leaves the other, and the old value stays in the log', () => {
    const walk = new Walk(startOf({ plan: only('pre-start-fill') })).sayAll(needles(75, 79), correction(secondary(74)));
    expect(walk.last[0]).toEqual({ type: 'read-back', reading: needles(75, 74), corrected: true });
    expect(walk.state.callouts.map(({ meaning }) => meaning?.reading)).toEqual([needles(75, 79), secondary(74)]);
    walk.say('engine-started');
    expect(walk.state.records[0]?.result.figures.secondary?.value).toBe(74);
  });

  it('said alone takes the next reading in place of the last', () => {
    const walk = new Walk(startOf({ plan: only('pre-start-fill') })).sayAll(needles(75, 79), 'correction');
    expect(walk.types).toEqual(['call-again']);
    walk.say(needles(75, 74));
    expect(walk.last[0]).toMatchObject({ type: 'read-back', corrected: true });
    expect(walk.state.progress.readings).toHaveLength(1);
  });

  it('of the first reading leaves the hold running from when the needles were called', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') }));
    walk.sayAll('engine-off', 'brakes-released', 'settled').say(needles(108, 117), { at: 18, lasting: 2 });
    walk.say(correction(primary(118)), { at: 30 });
    expect(view(walk.state).hold).toEqual({ start: 20_000, due: 80_000 });
    walk.waitTo(81).say(needles(117, 116), { at: 81 });
    expect(walk.verdict('static-leakage')).toBe('pass');
  });

  it('after the step was judged judges it again, and says so when it fails now', () => {
    const walk = new Walk(startOf({ plan: only('governor-cut-in', 'refill') }))
      .knowing('engine-started')
      .sayAll('cut-in', needles(98, 97));
    expect(walk.verdict('governor-cut-in')).toBe('pass');
    walk.say(correction(secondary(79)));
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail', reading: needles(98, 79) }]);
    expect(walk.verdict('governor-cut-in')).toBe('pass');
    walk.say('yes');
    expect(walk.last).toMatchObject([
      { type: 'read-back', corrected: true },
      { type: 'verdict', result: { verdict: 'fail' } },
    ]);
    expect(walk.verdict('governor-cut-in')).toBe('fail');
    expect(walk.step).toBe('refill');
  });

  it('turns a failed step into a passed one when the number was wrong', () => {
    const walk = new Walk(startOf({ plan: only('governor-cut-in', 'refill') }))
      .knowing('engine-started')
      .sayAll('cut-in', needles(98, 79), 'yes');
    expect(walk.verdict('governor-cut-in')).toBe('fail');
    walk.say(correction(secondary(97)));
    expect(walk.verdict('governor-cut-in')).toBe('pass');
    expect(walk.last.at(-1)).toMatchObject({ type: 'verdict', result: { verdict: 'pass' } });
  });

  it('does not reach back to the step before once a reading of this one was called', () => {
    const walk = new Walk(startOf({ plan: only('governor-cut-in', 'refill') }));
    walk.sayAll('cut-in', needles(98, 97), needles(110, 110), correction(primary(112)));
    expect(walk.state.records[0]?.progress.readings).toMatchObject([needles(98, 97)]);
  });

  it('that takes a build-up below its upper pressure takes the step up again, with its window running', () => {
    const walk = new Walk(startOf({ plan: only('build-up', 'final-fill') })).sayAll('engine-started', 'fast-idle-set');
    walk.say(needles(85, 85), { at: 10 }).say(needles(100, 100), { at: 35 });
    expect(walk.step).toBe('final-fill');
    walk.say(correction(needles(95, 95)), { at: 38 });
    expect(walk.step).toBe('build-up');
    expect(view(walk.state).window).toEqual({ start: 10_000 });
    walk.say(needles(100, 100), { at: 42 });
    expect(walk.state.records[0]?.result.figures.buildUpTime?.value).toBe(32);
  });

  it('with nothing to correct is declined', () => {
    expect(new Walk(startOf({ plan: only('pre-start-fill') })).say('correction').last).toEqual([
      { type: 'not-here', command: 'correction' },
    ]);
  });

  it('never changes the first reading of a hold through needles that were called too early', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') }));
    walk.sayAll('engine-off', 'brakes-released', 'settled').say(needles(118, 117), { at: 18, lasting: 2 });
    walk.say(needles(117, 114), { at: 60 }).say(correction(secondary(116)), { at: 64 });
    expect(walk.state.progress.readings).toMatchObject([needles(118, 117)]);
  });

  it('is meant by a plain no right after a read-back', () => {
    const walk = new Walk(startOf({ plan: only('pre-start-fill') })).sayAll(needles(75, 79), 'no', needles(75, 74));
    expect(walk.state.progress.readings).toMatchObject([needles(75, 74)]);
  });
});

const matching = (what: RegExp): string => expect.stringMatching(what) as string;

describe('needles that would have failed and were taken back before they were confirmed', () => {
  const closing = (...said: readonly Said[]): Walk => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released', 'settled');
    walk.say(needles(120, 120), { at: 18, lasting: 2 }).waitTo(81);
    return walk.sayAll(...said);
  };
  const flagsOf = ({ state }: Walk): readonly string[] | undefined => state.records[0]?.result.flags;
  const dropped = (psi: number, circuit = 'Primary'): string =>
    expect.stringMatching(
      new RegExp(`^Failed before the needles were corrected: ${circuit} dropped ${String(psi)} psi`),
    ) as string;

  it('are told of beside those that the step passes on, every one of them', () => {
    const chain = closing(needles(110, 110), correction(needles(115, 115)), correction(needles(120, 120)));
    expect(chain.verdict('static-leakage')).toBe('pass');
    expect(flagsOf(chain)).toEqual([dropped(10), dropped(5)]);
    expect(flagsOf(closing(needles(110, 110), 'no', needles(119, 119)))).toEqual([dropped(10)]);
    expect(flagsOf(closing(needles(110, 110), needles(119, 119)))).toEqual([dropped(10)]);
    expect(flagsOf(closing(needles(119, 119)))).toBeUndefined();
  });

  it('are told of when one circuit was called alone, or on the other dial', () => {
    const other = closing(primary(116), correction(secondary(116)), correction(needles(120, 120)));
    expect(flagsOf(other)).toEqual([dropped(4)]);
    expect(flagsOf(closing(secondary(116), correction(secondary(119)), primary(119)))).toEqual([
      dropped(4, 'Secondary'),
    ]);
  });

  it('are told of at an event, within a hold, and in a hold that is begun anew', () => {
    const cutOut = new Walk(startOf({ plan: only('governor-cut-out') })).knowing('engine-started');
    cutOut.sayAll('cut-out', needles(140, 140), correction(needles(132, 132)), correction(needles(124, 124)));
    expect(cutOut.state.records[0]?.result).toMatchObject({ verdict: 'pass', flags: [/140/, /132/].map(matching) });

    const within = new Walk(startOf({ plan: only('static-leakage') })).sayAll(
      'engine-off',
      'brakes-released',
      'settled',
    );
    within.say(needles(120, 120), { at: 18, lasting: 2 }).say(needles(116, 120), { at: 40 }).say('no').waitTo(81);
    expect(flagsOf(within.say(needles(120, 120)))).toEqual([dropped(4)]);
    const anew = closing(needles(110, 110), 'no', 'pause', 'resume', needles(119, 119));
    anew.waitTo(anew.time + 61).say(needles(119, 119));
    expect(flagsOf(anew)).toEqual([dropped(10)]);
    const back = closing(needles(110, 110), 'no', 'go-back', 'engine-off', 'brakes-released', 'settled');
    back.say(needles(119, 119)).waitTo(back.time + 61);
    expect(flagsOf(back.say(needles(119, 119)))).toEqual([dropped(10)]);
  });

  it('are told of when they began a hold that would have failed from there', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released', 'settled');
    walk
      .say(needles(124, 124), { at: 18, lasting: 2 })
      .say(correction(needles(120, 120)), { at: 22 })
      .waitTo(81);
    walk.say(needles(119, 119));
    expect(walk.verdict('static-leakage')).toBe('pass');
    expect(flagsOf(walk)).toEqual([dropped(5)]);
  });
});
