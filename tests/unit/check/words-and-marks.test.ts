import { describe, expect, it } from 'vitest';
import type { RepeatReason } from '../../../src/check/answer.ts';
import { judgeAgain } from '../../../src/check/judge-again.ts';
import { startCheck } from '../../../src/check/machine.ts';
import { unfinishedBecause } from '../../../src/check/unfinished.ts';
import { view } from '../../../src/check/view.ts';
import { needles, only, primary, startOf, Walk } from './support/say.ts';

describe('why a step has no verdict', () => {
  const blank = startCheck(startOf({ plan: only('static-leakage') })).state;

  it.each([
    ['microphone-lost', 'the microphone was lost'],
    ['sound-lost', 'some sound was lost'],
    ['slept', 'the device slept or its time of day was changed'],
    ['page-closed', 'the page was closed'],
    ['engine-lost', 'hearing stopped'],
    ['reading-late', 'the needles came later than any hold may last'],
    ['conditions-late', 'its conditions were called too late'],
    ['paused', 'the check was paused'],
    ['contradicted', 'a condition did not hold'],
    ['needles-late', 'the needles came too long after the moment they belong to'],
    ['outcome-early', 'what was seen or felt was called before what it rests on'],
    ['unfit-start', 'the hold could not begin with those needles'],
  ] satisfies [RepeatReason, string][])('%s', (because, words) => {
    const progress = { ...blank.progress, repeatBecause: because };
    expect(unfinishedBecause({ ...blank, progress })).toBe(`not finished: ${words}, and it was not repeated`);
  });

  it('in words of the measurement that was under way, or plainly', () => {
    expect(unfinishedBecause(blank)).toBe('not finished');
    const held = new Walk(startOf({ plan: only('static-leakage') }));
    held.sayAll('engine-off', 'brakes-released', 'settled', needles(118, 117));
    expect(unfinishedBecause(held.state)).toBe('not finished: no needles were called when the hold of 60 s was over');
    const built = new Walk(startOf({ plan: only('build-up') }));
    built.sayAll('engine-started', 'fast-idle-set', needles(85, 85));
    expect(unfinishedBecause(built.state)).toBe('not finished: both needles were not called at 100 psi');
    const before = new Walk(startOf({ plan: only('build-up') })).sayAll('engine-started', 'fast-idle-set');
    expect(unfinishedBecause(before.state)).toBe('not finished');
  });
});

describe('a check that is judged again under other limits', () => {
  const start = startOf({ plan: only('pre-start-fill', 'governor-cut-out', 'service-brake-test') });
  const walk = new Walk(start).sayAll(needles(75, 74), 'engine-started', 'cut-out', needles(124, 123));
  walk.say('skip').say({ cues: [], reason: 'no-room' });

  it('has new verdicts where there were some, and the measurements it had', () => {
    const lower = start.profile.tests.map((each) =>
      each.test === 'governor-cut-out'
        ? { ...each, limits: each.limits.map((limit) => ({ ...limit, max: 120 })) }
        : each,
    );
    const again = judgeAgain(walk.state, { ...start.profile, tests: lower });
    expect(again.records.map(({ id, result }) => [id, result.verdict])).toEqual([
      ['pre-start-fill', 'pass'],
      ['governor-cut-out', 'fail'],
      ['service-brake-test', 'not judged'],
    ]);
    expect(again.verdict).toBe('fail');
    expect(again.records.map(({ progress }) => progress)).toEqual(walk.state.records.map(({ progress }) => progress));
  });

  it('leaves a step that was skipped as it was, with its reason', () => {
    const again = judgeAgain(walk.state, start.profile);
    expect(again.records).toEqual(walk.state.records);
    expect(again.records[2]?.result.reason).toMatch(/^skipped, /);
  });
});

describe('what the log marks as taken', () => {
  it('a command that was followed, and none that had no use', () => {
    const walk = new Walk(startOf({ plan: only('pre-start-fill') }));
    expect(walk.say('yes').state.callouts.at(-1)?.taken).toBe(false);
    expect(walk.say('say-again').state.callouts.at(-1)?.taken).toBe(true);
    expect(walk.say('pause').state.callouts.at(-1)?.taken).toBe(true);
  });
});

describe('the clock of the whole check', () => {
  it('runs from its own cue to its own cue', () => {
    const walk = new Walk(startOf({ plan: only('approach', 'service-brake-test') }));
    walk.say('chocks-set', { at: 10 });
    expect(walk.state.clock).toEqual({});
    walk.say('ignition-on', { at: 20 }).sayAll('walk-round-complete', 'mirrors-set');
    expect(walk.state.clock).toEqual({ start: 20_000 });
    walk.say('straight-stop', { at: 60 });
    expect(walk.state.clock).toEqual({ start: 20_000 });
    walk.say('check-complete', { at: 80 });
    expect(walk.state.clock).toEqual({ start: 20_000, end: 80_000 });
    expect(walk.last.at(-1)).toMatchObject({ type: 'finished', seconds: 60 });
  });
});

describe('the screen', () => {
  it('shows the callouts of the step under way, and those of the step before no more', () => {
    const walk = new Walk(startOf({ plan: only('approach', 'pre-start-fill') }));
    walk.sayAll('chocks-set', 'walk-round-complete');
    expect(view(walk.state).callouts.map(({ heard }) => heard)).toEqual(['chocks-set', 'walk-round-complete']);
    walk.sayAll('mirrors-set', 'ignition-on').say(primary(75));
    expect(view(walk.state)).toMatchObject({ index: 1, total: 2, missingCircuit: 'secondary' });
    expect(view(walk.state).callouts.map(({ heard }) => heard)).toEqual(['words']);
  });

  it('keeps the last needles in sight when their hold is lost', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage') }));
    walk.sayAll('engine-off', 'brakes-released', 'settled', needles(118, 117));
    walk.send({ type: 'interrupted', at: walk.time * 1000 + 5000, why: 'microphone-lost' });
    expect(view(walk.state)).toMatchObject({ latest: needles(118, 117), repeatBecause: 'microphone-lost' });
    expect(view(walk.state).hold).toBeUndefined();
    expect(view(walk.state).heard).toEqual(['engine-off', 'brakes-released', 'settled']);
  });
});

describe('a caution', () => {
  it('is spoken the first time that a step begins, not when one goes back to it, and never where there is none', () => {
    const walk = new Walk(startOf({ plan: only('pre-start-fill', 'static-leakage') }));
    expect(walk.all.filter(({ type }) => type === 'brief')).toMatchObject([{ caution: false }]);
    walk.sayAll(needles(75, 74), 'engine-started');
    expect(walk.last.at(-1)).toMatchObject({ type: 'brief', step: { id: 'static-leakage' }, caution: true });
    walk.say('engine-off').say('go-back');
    expect(walk.last.at(-1)).toMatchObject({ type: 'brief', step: { id: 'static-leakage' }, caution: false });
  });
});
