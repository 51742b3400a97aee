import type { HeadFigure } from '../../../src/record/record-store.ts';
import type { Row } from '../../../src/audit/row.ts';
import { rowOf } from '../../../src/audit/row.ts';

/** A figure of a hold in psi a minute against 3. */
export function rate(value: number, more: Partial<HeadFigure> = {}): HeadFigure {
  return { name: 'secondaryRate', value, unit: 'psi/min', max: 3, limitUnit: 'psi/min', ...more };
}

/** A row of a check with one step. */
export function row(id: string, date: string, more: Parameters<typeof rowOf>[0] | object = {}): Row {
  const made = rowOf({
    id,
    startedAt: date,
    rigId: 'ladder-36',
    rigName: 'Ladder 36',
    operator: 'A. Okafor',
    planTitle: 'Full cab check',
    state: 'finished',
    verdict: 'pass',
    ...more,
  });
  if (made === undefined) throw new Error('a row of a check that is over');
  return made;
}
