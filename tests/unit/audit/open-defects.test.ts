import { describe, expect, it } from 'vitest';
import { openItemDefects } from '../../../src/audit/open-defects.ts';
import type { CheckHead, HeadStep } from '../../../src/record/record-store.ts';

const frayed = { item: 'belts', title: 'Drive belts', words: 'frayed', class: 'report' as const };

function head(id: string, day: number, step: Partial<HeadStep>, more: Partial<CheckHead> = {}): CheckHead {
  return {
    id,
    startedAt: `2026-05-0${day}T07:00:00.000Z`,
    rigId: 'engine-31',
    rigName: 'Engine 31',
    operator: 'A. Okafor',
    planTitle: 'Whole pre-trip',
    state: 'finished',
    steps: [{ title: 'Engine compartment', verdict: 'marginal', ...step }],
    ...more,
  };
}

describe('the open defects of a rig', () => {
  it('stay open through checks that say nothing of them, from the day they were first reported', () => {
    const heads = [
      head('c3', 6, {}),
      head('c2', 5, { defects: [frayed] }, { operator: 'M. Lindqvist' }),
      head('c1', 4, { defects: [frayed] }),
    ];
    expect(openItemDefects(heads, 'engine-31')).toEqual([
      { ...frayed, since: '2026-05-04T07:00:00.000Z', check: 'c1', operator: 'A. Okafor' },
    ]);
    expect(openItemDefects(heads, 'ladder-36')).toEqual([]);
  });

  it('close when a later check calls the item repaired, and open anew when it is bad again', () => {
    const heads = [head('c1', 4, { defects: [frayed] }), head('c2', 5, { repaired: ['belts'] })];
    expect(openItemDefects(heads, 'engine-31')).toEqual([]);
    expect(openItemDefects([...heads, head('c3', 6, { defects: [frayed] })], 'engine-31')).toMatchObject([
      { check: 'c3' },
    ]);
  });

  it('come from a check that was given up too, and not from one that still runs', () => {
    expect(openItemDefects([head('c1', 4, { defects: [frayed] }, { state: 'given-up' })], 'engine-31')).toHaveLength(1);
    expect(openItemDefects([head('c1', 4, { defects: [frayed] }, { state: 'running' })], 'engine-31')).toEqual([]);
  });
});
