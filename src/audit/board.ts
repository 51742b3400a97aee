import type { CheckVerdict } from '../judging/result.ts';
import { defectsOf, isClosed } from './defects.ts';
import type { Row } from './row.ts';

/** How a rig stands today, in short. */
export interface RigStanding {
  /** What today's newest check came to; absent when it was not checked today. */
  readonly today?: CheckVerdict;
  /** The newest check that came to an end, as far as it counts for this rig; what was given up is none. */
  readonly last?: Pick<Row, 'date' | 'plan' | 'verdict'>;
  /** Steps that are outside their limit and not closed, by their titles. */
  readonly open: readonly string[];
}

/**
 * How each rig stands, by its id: what today's newest check came to, and what is open. `rows`: newest first. `dayOf`: the day of a
 * moment (ISO 8601), as it is counted where the rigs are. `counts`: whether a check is one of those that are due.
 */
export function standings(
  rows: readonly Row[],
  now: string,
  dayOf: (moment: string) => string,
  counts: (row: Row) => boolean = () => true,
): Map<string, RigStanding> {
  const today = dayOf(now);
  const open = defectsOf(rows).filter((defect) => !isClosed(defect));
  const standing = new Map<string, RigStanding>();
  for (const { rigId } of rows) {
    if (standing.has(rigId)) continue;
    const newest = rows.find((row) => row.rigId === rigId && dayOf(row.date) === today);
    // What is not as it was sealed, or is only a checksum (the made-up weeks), says nothing of what was done.
    const last = rows.find((row) => row.rigId === rigId && isDone(row) && counts(row));
    standing.set(rigId, {
      ...(last === undefined ? {} : { last: { date: last.date, plan: last.plan, verdict: last.verdict } }),
      ...(newest === undefined ? {} : { today: newest.verdict }),
      open: open.filter((defect) => defect.rigId === rigId).map(({ title }) => title),
    });
  }
  return standing;
}

function isDone({ verdict, trouble, log }: Row): boolean {
  return verdict !== 'incomplete' && trouble === undefined && log?.throwaway !== true;
}
