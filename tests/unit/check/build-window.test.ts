import { describe, expect, it } from 'vitest';
import { buildWindow } from '../../../src/check/build-window.ts';
import { view } from '../../../src/check/view.ts';
import type { Pressure } from '../../../src/units/pressure.ts';
import { needles, only, primary, secondary, startOf, Walk } from './support/say.ts';

function building(): Walk {
  return new Walk(startOf({ plan: only('build-up', 'final-fill') })).sayAll('engine-started', 'fast-idle-set');
}

describe('the window of a build-up', () => {
  it('runs from the onset of one callout to the onset of the other', () => {
    const walk = building().say(needles(85, 85), { at: 10, lasting: 2 });
    expect(walk.types).toEqual(['read-back', 'window-started']);
    expect(walk.state.phase).toBe('building');
    expect(view(walk.state).window).toEqual({ start: 10_000 });
    walk.say(needles(100, 100), { at: 41, lasting: 2 });
    expect(walk.state.records[0]?.result.figures.buildUpTime?.value).toBe(31);
    expect(walk.verdict('build-up')).toBe('pass');
  });

  it('begins and ends with the callout that brings the second circuit, when they are called one by one', () => {
    const walk = building().say(primary(85), { at: 10 }).say(secondary(85), { at: 14 });
    expect(view(walk.state).window).toEqual({ start: 14_000 });
    walk.say(secondary(100), { at: 40 });
    expect(walk.state.phase).toBe('building');
    walk.say(primary(100), { at: 44 });
    expect(walk.state.records[0]?.result.figures.buildUpTime?.value).toBe(30);
  });

  // 85 psi is 586.05 kPa (NIST SP 811, B.8), which a dial with a mark every 5 kPa shows as 585.
  it('begins at the mark of a kPa dial that is nearest to the lower pressure, and not below it', () => {
    const both = (value: number) => ({ primary: { value, unit: 'kPa' }, secondary: { value, unit: 'kPa' } }) as const;
    const walk = building().say(both(580), { at: 10 });
    expect(view(walk.state).window).toBeUndefined();
    expect(view(walk.say(both(585), { at: 20 }).state).window).toEqual({ start: 20_000 });
    expect(walk.say(both(690), { at: 51 }).verdict('build-up')).toBe('pass');
  });

  it('ends at the pressure itself where the nearest mark is above it, and at that of a plan in kPa', () => {
    const step = only('build-up').steps[0]!;
    const ends = (to: Pressure, value: number): boolean => {
      const call = (kPa: number) => ({
        primary: { value: kPa, unit: 'kPa' as const },
        secondary: { value: kPa, unit: 'kPa' as const },
        ...{ start: 0, end: 0 },
      });
      return buildWindow({ ...step, to }, [call(600), call(value)]).upper !== undefined;
    };
    // 105 psi are 723.95 kPa.
    expect([ends({ value: 105, unit: 'psi' }, 723), ends({ value: 105, unit: 'psi' }, 724)]).toEqual([false, true]);
    expect([ends({ value: 722, unit: 'kPa' }, 721), ends({ value: 722, unit: 'kPa' }, 722)]).toEqual([false, true]);
  });

  it('does not begin below the lower pressure, nor when both needles are already at the upper', () => {
    const walk = building().say(needles(80, 84), { at: 10 });
    expect(view(walk.state).window).toBeUndefined();
    walk.say(needles(105, 104), { at: 20 });
    expect(view(walk.state).window).toBeUndefined();
    expect(walk.verdict('build-up')).toBeUndefined();
  });

  it('says what was not called when the check ends in the middle of it', () => {
    const walk = building().say(needles(85, 85), { at: 10 }).send({ type: 'end', at: 90_000 });
    expect(walk.state.records[0]?.result).toMatchObject({
      verdict: 'not judged',
      reason: 'not finished: both needles were not called at 100 psi',
    });
  });

  it('asks about needles that seem to fall while the pressure builds', () => {
    const walk = building().say(needles(85, 85), { at: 10 }).say(needles(90, 70), { at: 20 });
    expect(walk.last).toMatchObject([{ type: 'question', because: 'implausible' }]);
  });

  it('asks before a slow build-up fails, and keeps the time of the words asked about', () => {
    const walk = building().say(needles(85, 85), { at: 10 }).say(needles(100, 100), { at: 60 });
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail' }]);
    walk.say('yes', { at: 66 });
    expect(walk.verdict('build-up')).toBe('fail');
    expect(walk.state.records[0]?.result.figures.buildUpTime?.value).toBe(50);
  });

  it('keeps the onset when the needles are said again after a no', () => {
    const walk = building()
      .say({ cues: [], reading: needles(89, 85) }, { at: 10, confidence: 0.1 })
      .say('no', { at: 14 });
    walk.say(needles(85, 85), { at: 17 });
    expect(view(walk.state).window).toEqual({ start: 10_000 });
  });

  it('keeps the needles before those that are corrected', () => {
    const walk = building().say(needles(85, 85), { at: 10 }).say(needles(90, 90), { at: 20 });
    walk.say({ cues: [], command: 'correction', reading: needles(91, 91) }, { at: 24 });
    expect(view(walk.state).window).toEqual({ start: 10_000 });
    expect(walk.state.progress.readings).toMatchObject([needles(85, 85), { ...needles(91, 91), start: 20_000 }]);
    expect(walk.say(needles(100, 100), { at: 41 }).state.records[0]?.result.figures.buildUpTime?.value).toBe(31);
  });

  it('is open again when the needles that ended it are corrected to lower ones, and nothing else is', () => {
    const walk = new Walk(startOf({ plan: only('approach', 'build-up', 'final-fill') }));
    walk.sayAll('chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on', 'engine-started', 'fast-idle-set');
    walk.say(needles(85, 85), { at: 30 }).say(needles(100, 100), { at: 55 });
    walk.say({ cues: [], command: 'correction', reading: needles(98, 98) }, { at: 58 });
    expect([walk.step, walk.state.phase, walk.state.records.map(({ id }) => id)]).toEqual([
      ...['build-up', 'building'],
      ['approach'],
    ]);
    expect(walk.say(needles(100, 100), { at: 61 }).state.records[1]?.result.figures.buildUpTime?.value).toBe(31);
  });

  it('takes one needle that was asked about and is called otherwise', () => {
    const walk = building().say(primary(58), { at: 10, confidence: 0.1 }).say(primary(85), { at: 13 });
    expect(walk.state.progress.readings).toMatchObject([primary(85)]);
    expect(view(walk.say(secondary(85), { at: 15 }).state).window).toEqual({ start: 15_000 });
  });

  it('waits for fast idle except on a rig that has none', () => {
    const without = new Walk(
      startOf({
        plan: only('build-up', 'final-fill'),
        rig: { id: 'e', name: 'E', unit: 'psi', fitted: { fastIdle: false } },
      }),
    );
    without.say('engine-started').say(needles(85, 85), { at: 10 }).say(needles(100, 100), { at: 41 });
    expect(without.verdict('build-up')).toBe('pass');
    const withIt = new Walk(startOf({ plan: only('build-up', 'final-fill') }));
    withIt.say('engine-started').say(needles(85, 85), { at: 10 });
    expect(withIt.last.at(-1)).toMatchObject({ type: 'still-needed', cues: ['fast-idle-set'], reading: true });
    withIt.say(needles(86, 86)).say('fast-idle-set').say(needles(87, 87), { at: 20 });
    expect(view(withIt.state).window).toEqual({ start: 20_000 });
  });
});
