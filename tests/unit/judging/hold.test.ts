import { describe, expect, it } from 'vitest';
import { ENGINE_31, hold, judged, reading } from './cases.ts';

const STATIC = 'static-leakage';

describe('a leakage hold', () => {
  it('says the figure, the limit and the source in one sentence', () => {
    const result = judged('fire-practice', STATIC, hold([125, 125], [122, 124], 62));
    expect(result.verdict).toBe('fail');
    expect(result.reason).toBe(
      'Primary dropped 3 psi in 62 s, 3 psi a minute; limit 2 psi a minute (common practice); called at 62 s, so the drop itself counts.',
    );
    expect(result.margin?.figure).toBe('primaryRate');
    expect(result.margin?.value).toBe(-1);
    expect(result.margin?.unit).toBe('psi/min');
  });

  it('gives drops, rates and the interval from the end of the first words to the onset of the second', () => {
    const { figures } = judged('fire-practice', STATIC, [reading(125, 124, 3, 5.5), reading(124, 122, 85.5, 88)]);
    expect(figures.interval).toEqual({ value: 80, unit: 's', uncertainty: 0 });
    expect(figures.primaryDrop?.value).toBe(1);
    expect(figures.secondaryDrop?.value).toBe(2);
    expect(figures.primaryRate).toMatchObject({ value: 0.75, unit: 'psi/min' });
    expect(figures.secondaryRate).toMatchObject({ value: 1.5, unit: 'psi/min' });
  });

  it.each([
    [56.9, 'not judged'],
    [57, 'pass'],
    [60, 'pass'],
    [60.1, 'pass'],
    [900, 'pass'],
    [900.1, 'not judged'],
  ])('of %d s without a drop is %s', (seconds, verdict) => {
    expect(judged('fire-practice', STATIC, hold([120, 120], [120, 120], seconds)).verdict).toBe(verdict);
  });

  // "Less than 2 psi in one minute" (CDL model manual, section 5), read from dials of whole psi with a stopwatch in hand.
  it.each([
    ['us-cdl-single', 2, 60, 'fail'],
    ['us-cdl-single', 2, 62.9, 'fail'],
    ['us-cdl-single', 2, 63.1, 'marginal'],
    ['us-cdl-single', 2, 58, 'fail'],
    ['us-cdl-single', 1, 57, 'pass'],
    ['fire-practice', 2, 60.2, 'marginal'],
    ['fire-practice', 2, 59.8, 'fail'],
    ['fire-practice', 2, 60, 'marginal'],
  ])('under %s with a drop of %d psi after %d s is %s', (profile, drop, seconds, verdict) => {
    expect(judged(profile, STATIC, hold([120, 120], [120 - drop, 120], seconds)).verdict).toBe(verdict);
  });

  it('fails by needles called within it that are over the limit of the whole hold, whatever is called at its end', () => {
    const between = [{ primary: { value: 116, unit: 'psi' as const }, start: 32_000, end: 33_000 }];
    const result = judged('fire-practice', STATIC, hold([120, 120], [120, 120], 60), { between });
    expect(result).toMatchObject({ verdict: 'fail', figures: { primaryDrop: { value: 4 }, interval: { value: 20 } } });
    expect(result.reason).toContain('Primary dropped 4 psi in only 20 s');
  });

  it('is not judged when a needle stood higher at its end than within it', () => {
    const between = [{ secondary: { value: 118, unit: 'psi' as const }, start: 32_000, end: 33_000 }];
    const result = judged('fire-practice', STATIC, hold([120, 120], [120, 120], 60), { between });
    expect(result.verdict).toBe('not judged');
    expect(result.reason).toMatch(/^pressure rose: secondary was called at 118 psi in the hold and at 120 psi/);
  });

  it('that was too short says how long it must last and to repeat it', () => {
    expect(judged('fire-practice', STATIC, hold([120, 120], [119, 120], 30)).reason).toBe(
      'The hold lasted 30 s and must last 60 s; repeat it.',
    );
  });

  it.each([
    ['fire-practice', 2, 'not judged'],
    ['fire-practice', 2.5, 'fail'],
    ['us-cdl-single', 1.5, 'not judged'],
    ['us-cdl-single', 2, 'fail'],
  ])('that was too short under %s with a raw drop of %d psi is %s', (profile, drop, verdict) => {
    expect(judged(profile, STATIC, hold([120, 120], [120, 120 - drop], 5)).verdict).toBe(verdict);
  });

  it('that failed early names the raw drop and the whole hold', () => {
    expect(judged('us-cdl-single', STATIC, hold([120, 120], [117, 118], 30)).reason).toBe(
      'Primary dropped 3 psi in only 30 s; a whole hold of 60 s allows less than 2 psi (CDL model manual section 5).',
    );
  });

  it('beyond five minutes still fails by a rate over the limit', () => {
    const result = judged('fire-practice', STATIC, hold([120, 120], [108, 120], 330));
    expect(result.verdict).toBe('fail');
    expect(result.figures.primaryRate?.value).toBeCloseTo((12 * 60) / 330, 9);
  });

  it('is marginal when inside by less than the reading error, and says which hold would decide', () => {
    // 1.5 psi in 60 s: margin 0.5, error 2 × √(1/6) = 0.8165; 0.8165 × 60 ÷ 0.5 = 97.98 s.
    const result = judged('fire-practice', STATIC, hold([120, 120], [118.5, 120], 60));
    expect(result.verdict).toBe('marginal');
    expect(result.decidingHold).toBe(98);
    expect(result.reason).toBe(
      'Primary dropped 1.5 psi in 60 s, 1.5 psi a minute; limit 2 psi a minute (common practice), inside it by less than the reading error of 0.8 psi a minute; a hold of 98 s would decide it.',
    );
    const longer = judged('fire-practice', STATIC, hold([120, 120], [120 - 1.5 * (98 / 60), 120], 98));
    expect(longer.verdict).toBe('pass');
  });

  it('needs a hold for the slower circuit too when both are marginal', () => {
    const result = judged('fire-practice', STATIC, hold([120, 120], [118.5, 118.75], 60));
    expect(result.decidingHold).toBe(98);
  });

  it('exactly at an inclusive limit is marginal, and no hold length decides it', () => {
    const result = judged('fire-practice', STATIC, hold([120, 120], [118, 120], 60));
    expect(result.verdict).toBe('marginal');
    expect(result.margin?.value).toBe(0);
    expect(result.decidingHold).toBeUndefined();
  });

  it.each([
    [0.8, 'pass'],
    [0.82, 'not judged'],
  ])('with a rise of %d psi on one needle is %s (reading error 0.816 psi)', (up, verdict) => {
    const result = judged('fire-practice', STATIC, hold([120, 120], [120, 120 + up], 60));
    expect(result.verdict).toBe(verdict);
    if (verdict === 'not judged') expect(result.reason).toMatch(/^pressure rose: secondary by 0.8 psi in 60 s/);
  });

  it('with one circuit up and the other over the limit fails', () => {
    expect(judged('fire-practice', STATIC, hold([120, 120], [124, 115], 60)).verdict).toBe('fail');
  });

  it('takes a finer dial at its word', () => {
    const fine = {
      ...ENGINE_31,
      resolution: { primary: { value: 0.2, unit: 'psi' as const }, secondary: { value: 0.2, unit: 'psi' as const } },
    };
    expect(judged('fire-practice', STATIC, hold([120, 120], [118.2, 120], 60), {}, fine).verdict).toBe('pass');
  });

  it('that failed early names the circuit that dropped, in the unit of the limit', () => {
    const result = judged('canada-ontario', 'applied-leakage', hold([120, 120], [120, 116], 30));
    expect(result.verdict).toBe('fail');
    expect(result.reason).toBe(
      'Secondary dropped 27.6 kPa in only 30 s; a whole hold of 60 s allows 21 kPa (Ontario MTO handbooks air brake sections).',
    );
    expect(result.margin?.figure).toBe('secondaryRate');
  });

  it('within the reading error may show a rise', () => {
    const result = judged('fire-practice', STATIC, hold([120, 120], [120.5, 120.5], 60));
    expect(result.verdict).toBe('pass');
    expect(result.reason).toBe(
      'Primary rose 0.5 psi in 60 s, -0.5 psi a minute; limit 2 psi a minute (common practice).',
    );
    expect(result.decidingHold).toBeUndefined();
  });

  it('says of a needle that stood still that it dropped 0', () => {
    expect(judged('fire-practice', STATIC, hold([120, 120], [120, 120], 60)).reason).toMatch(/^Primary dropped 0 psi/);
  });

  it('at exactly the reading error: a rise is still no rise, a margin is enough', () => {
    // A resolution of √1.5 psi gives a drop the expanded uncertainty of 1 psi.
    const dial = { value: Math.sqrt(1.5), unit: 'psi' as const };
    const rig = { ...ENGINE_31, resolution: { primary: dial, secondary: dial } };
    expect(judged('fire-practice', STATIC, hold([120, 120], [120, 121], 60), {}, rig).verdict).toBe('pass');
    expect(judged('fire-practice', STATIC, hold([120, 120], [120, 119], 60), {}, rig).verdict).toBe('pass');
  });

  it('gives each circuit its own limits', () => {
    const { limits } = judged('fire-practice', STATIC, hold([120, 120], [119, 119], 60));
    expect(limits.map(({ figure }) => figure)).toEqual(['primaryRate', 'secondaryRate']);
  });
});
