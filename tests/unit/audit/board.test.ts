import { describe, expect, it } from 'vitest';
import { standings } from '../../../src/audit/board.ts';
import type { LogHeader } from '../../../src/record/log.ts';
import { row } from './rows.ts';

const day = (moment: string): string => moment.slice(0, 10);
const lastOf = (date: string, verdict: string) => ({ date, verdict, plan: row('x', date, {}).plan });
const leak = (verdict: string) => ({ verdict, steps: [{ id: 'static-leakage', title: 'Static leakage', verdict }] });

describe('how the rigs stand', () => {
  it('is what the newest check of today came to, and what is open from any day', () => {
    const rows = [
      row('d', '2026-03-03T09:00:00Z', { rigId: 'tender-34', verdict: 'pass' }),
      row('c', '2026-03-03T08:00:00Z', { rigId: 'tender-34', ...leak('fail') }),
      row('b', '2026-03-02T08:00:00Z', { rigId: 'ladder-36', ...leak('fail') }),
      row('a', '2026-03-01T08:00:00Z', { rigId: 'engine-31', verdict: 'pass' }),
    ];
    expect([...standings(rows, '2026-03-03T10:00:00Z', day)]).toEqual([
      ['tender-34', { today: 'pass', last: lastOf('2026-03-03T09:00:00Z', 'pass'), open: ['Static leakage'] }],
      ['ladder-36', { last: lastOf('2026-03-02T08:00:00Z', 'fail'), open: ['Static leakage'] }],
      ['engine-31', { last: lastOf('2026-03-01T08:00:00Z', 'pass'), open: [] }],
    ]);
  });

  it('counts as done no check that was given up, was made up, is not as it was sealed, or went by another plan', () => {
    const rows = [
      row('d', '2026-03-03T09:00:00Z', { verdict: 'incomplete' }),
      row('c', '2026-03-03T08:00:00Z', { trouble: 'edited' }),
      row('m', '2026-03-03T07:00:00Z', { log: { throwaway: true } as LogHeader }),
      row('b', '2026-03-02T08:00:00Z', { planTitle: 'Lights' }),
      row('a', '2026-03-01T08:00:00Z', {}),
    ];
    const found = standings(rows, '2026-03-03T10:00:00Z', day, ({ plan }) => plan !== 'Lights');
    expect(found.get(rows[0]!.rigId)?.last?.date).toBe('2026-03-01T08:00:00Z');
  });
});
