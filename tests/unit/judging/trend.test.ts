import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { trend } from '../../../src/judging/trend.ts';
import type { TrendPoint } from '../../../src/judging/trend.ts';

/** One check a week from 1 March 2026. */
function weekly(values: readonly number[], first = Date.UTC(2026, 2, 1, 8)): readonly TrendPoint[] {
  return values.map((value, week) => ({ date: new Date(first + week * 7 * 86_400_000).toISOString(), value }));
}

describe('the trend of a figure', () => {
  it('says too little of fewer than four checks', () => {
    expect(trend(weekly([1, 1.1, 1.2]), { max: 2 })).toEqual({
      kind: 'too-little-data',
      checks: 3,
      reason: 'Too little data: 3 of at least 4 checks on different dates.',
    });
    expect(trend([], { max: 2 }).kind).toBe('too-little-data');
    expect(trend(weekly([1, 1.1, 1.2, 1.3]), { max: 2 }).kind).toBe('trend');
  });

  it('finds when a secondary leak that grows by 0.1 psi a minute a week meets 2', () => {
    // From 0.8 on 1 March: 2.0 after twelve weeks, on 24 May.
    const found = trend(weekly([0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5]), { max: 2 });
    expect(found).toMatchObject({
      kind: 'trend',
      checks: 8,
      outlook: 'approaching',
      meets: { date: '2026-05-24', earliest: '2026-05-24', latest: '2026-05-24' },
    });
    if (found.kind !== 'trend') return;
    expect(found.slope).toBeCloseTo(0.1 / 7, 12);
    expect(found.level).toBeCloseTo(1.5, 12);
    expect(found.reason).toMatch(
      /^At this trend the limit is met on 2026-05-24 \(9\d % interval: between 2026-05-24 and 2026-05-24\)\.$/,
    );
  });

  it('finds when a falling figure meets a minimum', () => {
    const found = trend(weekly([70, 69, 68, 67, 66]), { min: 60, max: 75 });
    expect(found).toMatchObject({ outlook: 'approaching', meets: { date: '2026-05-10' } });
  });

  it('gives an interval around the date when the checks scatter', () => {
    // Slopes a week by hand: 0.3, 0.15, 0.2, 0, 0.15, 0.3; median 0.175, from 0 (never) to 0.3.
    const found = trend(weekly([0.8, 1.1, 1.1, 1.4]), { max: 2 });
    if (found.kind !== 'trend') throw new Error('too little');
    expect(found.slope * 7).toBeCloseTo(0.175, 12);
    expect(found.interval.low).toBe(0);
    expect(found.interval.high * 7).toBeCloseTo(0.3, 12);
    expect(found.interval.confidence).toBeCloseTo(11 / 12, 12);
    // Slope 0.175: median of the left-overs is 0.83750, so 2 is reached after 46.5 days; slope 0.3: 0.65, 31.5 days.
    expect(found.meets).toEqual({ date: '2026-04-16', earliest: '2026-04-01' });
    expect(found.reason).toBe(
      'At this trend the limit is met on 2026-04-16 (91 % interval: from 2026-04-01 on, or never).',
    );
  });

  it('a falling figure has its earliest date from the steepest fall', () => {
    const found = trend(weekly([70, 68.5, 67.9, 66]), { min: 60 });
    if (found.kind !== 'trend' || found.meets === undefined) throw new Error('no date');
    expect(found.meets.earliest < found.meets.date).toBe(true);
    expect(found.meets.latest !== undefined && found.meets.latest > found.meets.date).toBe(true);
  });

  it('is not thrown off by one check in five', () => {
    const found = trend(weekly([0.8, 0.9, 9, 1.1, 1.2, 1.3, 1.4]), { max: 2 });
    if (found.kind !== 'trend') throw new Error('too little');
    expect(found.slope * 7).toBeCloseTo(0.1, 1);
  });

  it.each([
    [[1, 1, 1, 1], { max: 2 }],
    [[1.6, 1.4, 1.2, 1], { max: 2 }],
    [[60, 62, 64, 66], { min: 55 }],
    [[1, 1.1, 1.2, 1.3], {}],
    [[60, 60, 60, 60], { min: 55 }],
  ])('of %j towards %j is not approaching', (values, limit) => {
    const found = trend(weekly(values), limit);
    expect(found).toMatchObject({ outlook: 'not-approaching', reason: 'No trend towards a limit over 4 checks.' });
    expect(found).not.toHaveProperty('meets');
  });

  it.each([
    [[1.8, 1.9, 2, 2.1], { max: 2 }],
    [[2.4, 2.3, 2.2, 2.1], { max: 2 }],
    [[58, 57, 56, 54], { min: 55 }],
  ])('of %j against %j is beyond already', (values, limit) => {
    const found = trend(weekly(values), limit);
    expect(found).toMatchObject({ outlook: 'beyond', reason: 'The trend is beyond its limit already, over 4 checks.' });
    expect(found).not.toHaveProperty('meets');
  });

  it('exactly at its limit is met on the day of the last check', () => {
    expect(trend(weekly([1.7, 1.8, 1.9, 2]), { max: 2 })).toMatchObject({
      outlook: 'approaching',
      meets: { date: '2026-03-22' },
    });
  });

  it('exactly at its minimum is met on the day of the last check', () => {
    expect(trend(weekly([58, 57, 56, 55]), { min: 55 })).toMatchObject({
      outlook: 'approaching',
      meets: { date: '2026-03-22' },
    });
  });

  it('has no latest date when the figure may as well be moving away', () => {
    // Slopes a week by hand: 0.4, 0.05, 0.2, -0.3, 0.1, 0.5: median 0.15, interval from -0.3 to 0.5.
    const found = trend(weekly([1, 1.4, 1.1, 1.6]), { max: 2 });
    if (found.kind !== 'trend') throw new Error('too little');
    expect(found.interval.low * 7).toBeCloseTo(-0.3, 12);
    expect(found.meets?.date).toBeDefined();
    expect(found.meets).not.toHaveProperty('latest');
  });

  it('names no date beyond ten years', () => {
    const found = trend(weekly([1, 1.001, 1.002, 1.003]), { max: 2 });
    expect(found).toMatchObject({
      outlook: 'approaching',
      reason: 'The trend meets its limit in more than ten years.',
    });
    expect(found).not.toHaveProperty('meets');
  });

  it('names a date up to ten years ahead', () => {
    // 3652 days after the last check at 1 a day.
    const daily = (limit: number): ReturnType<typeof trend> =>
      trend(
        [0, 1, 2, 3].map((day) => ({ date: new Date(Date.UTC(2026, 0, 1 + day)).toISOString(), value: day })),
        { max: limit },
      );
    expect(daily(3 + 3652)).toHaveProperty('meets');
    expect(daily(3 + 3653)).not.toHaveProperty('meets');
  });

  it('does not depend on the order of the points', () => {
    const points = weekly([0.8, 1.1, 1.1, 1.4, 1.2]);
    fc.assert(
      fc.property(fc.shuffledSubarray([...points], { minLength: points.length }), (shuffled) => {
        expect(trend(shuffled, { max: 2 })).toEqual(trend(points, { max: 2 }));
      }),
    );
  });

  it('takes checks of one moment once, by their median, and leaves out what is no number or no date', () => {
    const points = weekly([0.8, 0.9, 1, 1.1]);
    const twice = [...points, { date: points[0]?.date ?? '', value: 5 }, { date: points[0]?.date ?? '', value: 0.1 }];
    expect(trend(twice, { max: 2 })).toEqual(trend(points, { max: 2 }));
    const odd = [...points, { date: 'yesterday', value: 1 }, { date: '2026-06-01', value: NaN }];
    expect(trend(odd, { max: 2 })).toEqual(trend(points, { max: 2 }));
    expect(trend([...weekly([1, 1, 1]), { date: weekly([1])[0]?.date ?? '', value: 1 }], { max: 2 }).kind).toBe(
      'too-little-data',
    );
  });

  it('rests on the latest 200 checks', () => {
    const old = Array.from({ length: 100 }, () => 5);
    const recent = Array.from({ length: 200 }, (_, week) => 1 + week * 0.001);
    const found = trend(weekly([...old, ...recent]), { max: 2 });
    if (found.kind !== 'trend') throw new Error('too little');
    expect(found.checks).toBe(200);
    expect(found.slope * 7).toBeCloseTo(0.001, 9);
  });

  it('recovers the line from any checks that lie on one', () => {
    const days = fc.uniqueArray(fc.integer({ min: 0, max: 2000 }), { minLength: 4, maxLength: 12 });
    fc.assert(
      fc.property(days, fc.integer({ min: -50, max: 50 }), (offsets, slope) => {
        const points = offsets.map((day) => ({
          date: new Date(Date.UTC(2020, 0, 1 + day)).toISOString(),
          value: 100 + slope * day,
        }));
        const found = trend(points, {});
        if (found.kind !== 'trend') throw new Error('too little');
        expect(found.slope).toBeCloseTo(slope, 6);
        expect(found.interval.low).toBeLessThanOrEqual(found.slope + 1e-9);
        expect(found.interval.high).toBeGreaterThanOrEqual(found.slope - 1e-9);
      }),
    );
  });
});
