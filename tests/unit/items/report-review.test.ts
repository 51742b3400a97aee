import { describe, expect, it } from 'vitest';
import type { OpenDefect } from '../../../src/items/open-defect.ts';
import { reviewedLine, signReview, type ReviewInput } from '../../../src/items/report-review.ts';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';

const WALL = '2026-05-05T07:30:00.000Z';
const BELT: OpenDefect = {
  ...{ item: 'belts', title: 'Drive belts', words: 'frayed', class: 'report' },
  ...{ since: '2026-05-04T07:30:00.000Z', check: 'c1', operator: 'A. Okafor' },
};
const HORN: OpenDefect = { ...BELT, item: 'horn', title: 'Horn', words: 'inoperative' };

describe('the review of the last report', () => {
  // 49 CFR 396.13: the driver reviews the last report, and signs where it lists defects; 396.11 is that report.
  it('is asked for where the limits are those of federal driver manuals, with both documents', () => {
    const asking = BUILT_IN_PROFILES.filter(({ reportReview }) => reportReview !== undefined);
    expect(asking.map(({ id }) => id).toSorted()).toEqual(['us-cdl-combination', 'us-cdl-inspection', 'us-cdl-single']);
    for (const { reportReview = [] } of asking)
      expect(reportReview.map(({ document }) => document)).toEqual(['49 CFR 396.13', '49 CFR 396.11']);
  });

  it('has what was found of each defect, and who certified a repair', () => {
    const input: ReviewInput = new Map([
      ['belts', { found: 'certified', by: ' M. Lindqvist ' }],
      ['horn', { found: 'still there', by: 'left in by mistake' }],
    ]);
    const review = signReview([BELT, HORN], input, ' A. Okafor ', WALL);
    expect(review).toMatchObject({ ok: true, value: { driver: 'A. Okafor', wall: WALL } });
    expect(review.ok && review.value.defects.map((each) => reviewedLine(each))).toEqual([
      'Drive belts: frayed: repair certified by M. Lindqvist',
      'Horn: inoperative: still there',
    ]);
  });

  it('is not signed with a defect left out, a repair that nobody certified, or without a name', () => {
    const told: ReviewInput = new Map([['belts', { found: 'repaired', by: '' }]]);
    const refused = [
      signReview([BELT, HORN], told, 'A. Okafor', WALL),
      signReview([BELT], new Map([['belts', { found: 'certified', by: ' ' }]]), 'A. Okafor', WALL),
      signReview([BELT], told, ' ', WALL),
    ];
    expect(refused.map((each) => (each.ok ? 'signed' : each.problem.where))).toEqual(['Horn', 'Drive belts', 'Driver']);
  });
});
