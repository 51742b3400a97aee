import { describe, expect, it } from 'vitest';
import { needles, only, primary, startOf, Walk } from './support/say.ts';

/** Filled to 124 psi at 10 s with the engine running, then a static hold; everything is called but the needles. */
function filled(asking: 'ask' | 'assume' = 'ask'): Walk {
  return new Walk(startOf({ plan: only('refill', 'static-leakage', 'applied-leakage'), asking }))
    .knowing('engine-started')
    .say('cut-out', { at: 8, lasting: 1 })
    .say(needles(124, 124), { at: 9, lasting: 1 })
    .sayAll('engine-off', 'brakes-released', 'settled');
}

/** The static hold closed at 120 psi, and the pedal put on. */
const applied = (): Walk =>
  filled()
    .say(needles(120, 120), { at: 30 })
    .waitTo(91)
    .say(needles(120, 120), { at: 92, lasting: 0 })
    .sayAll('brake-applied', 'settled');

/** True when the needles called last are asked about because they can hardly follow. */
const isDoubted = ({ last }: Walk): boolean =>
  last.some((answer) => answer.type === 'question' && answer.because === 'implausible');

describe('air that is lost before a hold begins', () => {
  it('by releasing the brakes is no more than the spring brakes take, by the minute no more than the limit', () => {
    // Twelve parts of thirteen are left (49 CFR 571.121 S5.1.2.1), the air cools, and 2 psi a minute may leak (common practice).
    const opened = (psi: number, at: number): Walk => filled().say(needles(psi, psi), { at });
    expect([opened(120, 30), opened(109, 30), opened(101, 280)].map(isDoubted)).toEqual([false, false, false]);
    expect([opened(106, 30), opened(92, 30), opened(92, 280)].map(isDoubted)).toEqual([true, true, true]);
  });

  it('by the pedal is no more than one full application, in either circuit', () => {
    const opened = (primary: number, secondary: number, at = 100): Walk =>
      applied().say(needles(primary, secondary), { at });
    expect([opened(110, 110), opened(106, 106), opened(104, 110, 130)].map(isDoubted)).toEqual([false, false, false]);
    expect([opened(88, 88), opened(110, 98), opened(103, 110)].map(isDoubted)).toEqual([true, true, true]);
  });

  it('is more than nothing only where something used it', () => {
    // The brakes stay released and the engine off: the hold is begun again at what it stood at.
    const again = (psi: number): Walk =>
      filled().say(needles(120, 120), { at: 30 }).sayAll('pause', 'resume').say(needles(psi, psi), { at: 50 });
    expect(isDoubted(again(118))).toBe(false);
    expect(isDoubted(again(114))).toBe(true);
  });

  it('is that since both needles were called, whatever one of them was corrected to', () => {
    const one = filled().say(needles(120, 120), { at: 30 }).say(primary(119), { at: 45 });
    one.say({ cues: [], command: 'correction', reading: primary(118) }, { at: 49 }).sayAll('pause', 'resume');
    expect(isDoubted(one.say(needles(118, 106)))).toBe(true);
  });

  it('makes the hold marginal at best once it was confirmed, and leaves it without verdict where nobody was asked', () => {
    const confirmed = filled().say(needles(92, 92), { at: 30 }).say('yes').waitTo(92).say(needles(92, 92), { at: 94 });
    expect(confirmed.state.records[1]?.result).toMatchObject({
      verdict: 'marginal',
      flags: ['Primary 92 psi, secondary 92 psi can hardly follow from the needles before; confirmed when asked'],
    });
    const alone = filled('assume')
      .say(needles(92, 92), { at: 30 })
      .say(needles(92, 92), { at: 92 })
      .say('brake-applied');
    expect(alone.verdict('static-leakage')).toBe('not judged');
  });

  it('is not explained by needles called too early, by a hold begun anew, or by one that was done before', () => {
    const early = new Walk(startOf({ plan: only('refill', 'static-leakage') })).knowing('engine-started');
    early.sayAll('cut-out', needles(124, 124), needles(92, 92), 'engine-off', 'brakes-released', 'settled');
    expect(isDoubted(early.say(needles(92, 92)))).toBe(true);

    const anew = filled().say(needles(92, 92), { at: 30 }).sayAll('yes', 'pause', 'resume', needles(92, 92));
    expect(isDoubted(anew)).toBe(true);

    const before = filled().say(needles(92, 92), { at: 30 }).say('yes').waitTo(92).say(needles(92, 92), { at: 94 });
    before.sayAll('go-back', 'engine-off', 'brakes-released', 'settled', needles(92, 92));
    expect(isDoubted(before)).toBe(true);
  });
});
