import { describe, expect, it } from 'vitest';
import { intervalRank, theilSen } from '../../src/judging/theil-sen.ts';

describe('the slope (Theil 1950, Sen 1968)', () => {
  it('is 0.5 for the example of the R package statpsych 1.6.0, ci.theil', () => {
    const x = [67, 28, 30, 28, 52, 40, 25, 37, 44, 10, 14, 20, 28, 40, 51];
    const y = [21, 4, 9, 12, 35, 18, 10, 22, 24, 1, 6, 8, 13, 16, 19];
    const { slope, interval } = theilSen(x, y);
    expect(slope).toBe(0.5);
    // Its 95 % interval is 0.324 to 0.75; one of 90 % lies within.
    expect(interval.low).toBeGreaterThanOrEqual(0.3243);
    expect(interval.high).toBeLessThanOrEqual(0.75);
  });
});

describe('points that share an x', () => {
  it('have no slope between them', () => {
    // Slopes by hand: 1 and 3 from (0, 0), -1 and 2 from (0, 2), 5 from (1, 1) to (2, 6).
    expect(theilSen([0, 0, 1, 2], [0, 2, 1, 6])).toMatchObject({ slope: 2, interval: { low: -1, high: 5 } });
  });
});

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
