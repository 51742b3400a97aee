import { describe, expect, it } from 'vitest';
import { intervalRank } from '../../src/judging/slope-interval.ts';

describe('the interval on a slope (Sen 1968)', () => {
  // Upper critical values of Kendall's coefficient at 0.05, closest without exceeding it (easycalculation.com table,
  // retrieved copy): tau = 1 - 2D ÷ pairs, so D discordant pairs or fewer have a chance of at most 0.05 in each tail.
  it.each([
    [4, 1.0],
    [5, 0.8],
    [6, 0.733],
    [7, 0.619],
    [8, 0.571],
    [9, 0.5],
    [10, 0.467],
    [15, 0.333],
    [20, 0.274],
    [30, 0.218],
    [50, 0.162],
  ])('of %d points takes the rank that Kendall’s table gives for tau %d', (points, tau) => {
    const pairs = (points * (points - 1)) / 2;
    const discordant = Math.round((pairs * (1 - tau)) / 2);
    expect(intervalRank(points).rank).toBe(discordant + 1);
  });

  it('covers at least 90 %, and for four points 1 - 2 ÷ 4! = 91.7 %', () => {
    expect(intervalRank(4).confidence).toBeCloseTo(1 - 2 / 24, 12);
    // Five points: ten pairs, at most one discordant has the chance (1 + 4) ÷ 5!.
    expect(intervalRank(5).confidence).toBeCloseTo(1 - 10 / 120, 12);
    for (let points = 4; points < 60; points += 1) expect(intervalRank(points).confidence).toBeGreaterThanOrEqual(0.9);
  });
});
