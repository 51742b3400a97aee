import type { HeadRemark } from '../record/record-store.ts';
import type { Row } from './row.ts';

/** A step that failed on a rig, from the check that failed it until it is closed. */
export interface Defect {
  readonly rigId: string;
  readonly rigName: string;
  readonly step: string;
  readonly title: string;
  /** The first check that failed the step, and the latest. */
  readonly opened: { readonly check: string; readonly date: string };
  readonly latest: { readonly check: string; readonly date: string };
  /** The note of the repair, when an officer has written one since the latest fail. */
  readonly repair?: HeadRemark;
  /** The first check after the latest fail in which the step was inside its limit. */
  readonly passed?: { readonly check: string; readonly date: string };
}

/** A defect is closed by two things, in any order: a note of the repair, and a later check inside the limit. */
export function isClosed({ repair, passed }: Defect): boolean {
  return repair !== undefined && passed !== undefined;
}

/** Every defect of the rows, open and closed, newest fail first. A fail after a closed defect opens a new one. */
export function defectsOf(rows: readonly Row[]): Defect[] {
  const notes = new Map<string, HeadRemark[]>();
  for (const { rigId, remarks } of rows) {
    for (const remark of remarks) {
      if (remark.repair === undefined) continue;
      const place = `${rigId} ${remark.repair}`;
      notes.set(place, [...(notes.get(place) ?? []), remark]);
    }
  }
  const done: Defect[] = [];
  const open = new Map<string, Defect>();
  for (const row of [...rows].sort((a, b) => (a.date < b.date ? -1 : 1))) {
    const at = { check: row.id, date: row.date };
    for (const { id, title, verdict } of row.steps) {
      if (id === undefined) continue;
      const place = `${row.rigId} ${id}`;
      const here = open.get(place);
      if (verdict === 'fail') {
        if (here !== undefined && isClosed(here)) done.push(here);
        const fresh = here === undefined || isClosed(here);
        const opened = fresh ? at : here.opened;
        const repair = notes.get(place)?.find(({ wall }) => wall >= row.date);
        open.set(place, {
          rigId: row.rigId,
          rigName: row.rigName,
          step: id,
          title,
          opened,
          latest: at,
          ...(repair === undefined ? {} : { repair }),
        });
      } else if (here !== undefined && here.passed === undefined && (verdict === 'pass' || verdict === 'marginal')) {
        open.set(place, { ...here, passed: at });
      }
    }
  }
  return [...done, ...open.values()].sort((a, b) => b.latest.date.localeCompare(a.latest.date));
}
