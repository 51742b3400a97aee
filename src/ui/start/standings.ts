import { standings, type RigStanding } from '../../audit/board.ts';
import { rowsOf } from '../../audit/row.ts';
import type { CheckHead } from '../../record/record-store.ts';

/** How each rig stands, worked out once for a list of checks and a day. */
export class Standings {
  #heads: readonly CheckHead[] | undefined;
  #day = '';
  #found: ReadonlyMap<string, RigStanding> = new Map();

  /** `heads`: newest first. `now`: ISO 8601. */
  of(heads: readonly CheckHead[], now: string): ReadonlyMap<string, RigStanding> {
    const day = localDay(now);
    if (heads !== this.#heads || day !== this.#day) {
      this.#heads = heads;
      this.#day = day;
      this.#found = standings(rowsOf(heads), now, localDay);
    }
    return this.#found;
  }
}

function localDay(moment: string): string {
  return new Date(moment).toDateString();
}
