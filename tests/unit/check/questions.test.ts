import { describe, expect, it } from 'vitest';
import { needles, only, primary, secondary, startOf, Walk, type Said } from './support/say.ts';

const governor = (): Walk => new Walk(startOf({ plan: only('pre-start-fill', 'governor-cut-out', 'governor-cut-in') }));

describe('a reading is asked about', () => {
  it('when the engine was unsure of it', () => {
    const walk = governor().say(needles(75, 74), { confidence: 0.05, engine: 'embedded' });
    expect(walk.last).toMatchObject([{ type: 'question', because: 'low-confidence' }]);
    expect(walk.state.phase).toBe('asking');
  });

  it('but not when it was touched or typed, however the confidence reads', () => {
    const walk = governor().say(needles(75, 74), { confidence: 0, source: 'touch' });
    expect(walk.types).toEqual(['read-back', 'still-needed']);
  });

  it('when no dial shows it', () => {
    expect(governor().say(needles(75, 174)).last).toMatchObject([{ type: 'question', because: 'implausible' }]);
  });

  it('when the needles cannot have moved so: a cut-out below the fill before it, a rise with the engine off', () => {
    const walk = governor().sayAll(needles(75, 74), 'engine-started', 'cut-out', needles(25, 120));
    expect(walk.last).toMatchObject([{ type: 'question', because: 'implausible' }]);
    const hold = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') }));
    hold
      .sayAll('engine-off', 'brakes-released', 'settled', needles(108, 107))
      .waitTo(hold.time + 60)
      .say(needles(118, 107));
    expect(hold.last).toMatchObject([{ type: 'question', because: 'implausible' }]);
  });

  it('when it would fail its step, even when touched', () => {
    const walk = governor()
      .sayAll(needles(75, 74), 'engine-started', 'cut-out')
      .say(needles(135, 134), { source: 'touch' });
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail' }]);
    walk.say('yes');
    expect(walk.verdict('governor-cut-out')).toBe('fail');
  });

  it('not for needles called on the way to the moment, which never count for it', () => {
    for (const before of [needles(90, 91), needles(66, 68)]) {
      const walk = new Walk(startOf({ plan: only('low-air-warning', 'tug-test') })).knowing('engine-off');
      walk.say(before, { at: 10 }).say('buzzer', { at: 12 });
      expect(walk.verdict('low-air-warning')).toBeUndefined();
      walk.say(needles(62, 63), { at: 15 });
      expect(walk.state.records[0]?.result.figures.warningAt?.value).toBe(62);
    }
  });
});

describe('the answer to a question', () => {
  const asking = (): Walk => governor().say(needles(105, 74), { confidence: 0.05 });

  it('yes takes it', () => {
    const walk = asking().say('yes');
    expect(walk.last[0]).toEqual({ type: 'read-back', reading: needles(105, 74), corrected: false });
    expect(walk.state.progress.readings).toHaveLength(1);
  });

  it('no drops it and asks for the needles again', () => {
    const walk = asking().say('no');
    expect(walk.types).toEqual(['call-again']);
    expect(walk.state.progress.readings).toEqual([]);
    walk.say(needles(75, 74));
    expect(walk.state.progress.readings).toMatchObject([needles(75, 74)]);
    expect(walk.state.callouts.map(({ taken }) => taken)).toEqual([false, true, true]);
  });

  it('a correction of one circuit keeps the other', () => {
    const walk = asking().say({ cues: [], command: 'correction', reading: primary(75) });
    expect(walk.last[0]).toMatchObject({ type: 'read-back', reading: needles(75, 74) });
  });

  it('the same needles again confirm it, others take its place', () => {
    expect(asking().say(needles(105, 74)).state.progress.readings).toMatchObject([needles(105, 74)]);
    expect(asking().say(needles(75, 74)).state.progress.readings).toMatchObject([needles(75, 74)]);
  });

  it('other needles that are doubtful too are asked about in turn', () => {
    const walk = asking().say(needles(165, 74));
    expect(walk.last).toMatchObject([{ type: 'question', because: 'implausible', reading: needles(165, 74) }]);
  });

  it('say again repeats the question, and a cue in between is kept', () => {
    const walk = asking().say('say-again');
    expect(walk.types).toEqual(['question']);
    walk.say('engine-started');
    expect(walk.types).toEqual(['question']);
    walk.say('yes');
    expect(walk.step).toBe('governor-cut-out');
  });

  it('is no note: the question is put again, and what is said next is heard', () => {
    const walk = asking().say('note');
    expect(walk.types).toEqual(['question']);
    expect(walk.state.phase).toBe('asking');
    walk.say(needles(75, 74));
    expect(walk.state.progress.readings).toMatchObject([needles(75, 74)]);
  });

  it('that never comes does not make one forget what would have failed', () => {
    const unanswered = (): Walk =>
      new Walk(startOf({ plan: only('low-air-warning') })).knowing('engine-off').sayAll('buzzer', needles(40, 41));
    const again: readonly Said[] = ['buzzer', needles(60, 61)];
    for (const walk of [unanswered().sayAll('go-back', ...again), unanswered().sayAll('pause', 'resume', ...again)]) {
      const result = walk.state.records[0]?.result;
      expect(result?.verdict).toBe('marginal');
      expect(result?.reason).toContain('(asked, and not answered)');
    }
    // Needles that were only badly heard are not missed.
    const unsure = new Walk(startOf({ plan: only('low-air-warning') })).knowing('engine-off').say('buzzer');
    unsure.say(needles(60, 61), { confidence: 0.05 }).sayAll('go-back', ...again);
    expect(unsure.verdict('low-air-warning')).toBe('pass');
  });

  it('speech that means nothing is met with the question again', () => {
    const walk = asking();
    walk.send({ type: 'callout', at: 9000, end: 9500, heard: 'uh', confidence: 0.2, source: 'voice' });
    expect(walk.types).toEqual(['question']);
  });
});

describe('one circuit at a time', () => {
  it('makes a reading of two callouts', () => {
    const walk = governor().say(primary(75)).say(secondary(74));
    expect(walk.state.progress.readings).toMatchObject([{ ...needles(75, 74), start: 3000, end: 7000 }]);
  });

  it('starts anew when the other circuit never came', () => {
    const walk = governor().say(primary(75), { at: 5 }).waitTo(12);
    expect(walk.last).toEqual([{ type: 'missing-circuit', circuit: 'secondary' }]);
    walk.say(secondary(74), { at: 40 });
    expect(walk.state.progress.readings).toEqual([]);
    walk.say(primary(76), { at: 43 });
    expect(walk.state.progress.readings).toMatchObject([{ ...needles(76, 74), start: 40_000 }]);
  });
});
