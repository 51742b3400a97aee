import { standings, type RigStanding } from '../../audit/board.ts';
import { openItemDefects } from '../../audit/open-defects.ts';
import { rowsOf } from '../../audit/row.ts';
import type { CheckHead } from '../../record/record-store.ts';
import { departmentDueHours, dueAt, rigDefaults } from '../../running/rig-defaults.ts';
import type { SmallStore } from '../../running/settings.ts';

/** A rig on the board: how it stands, and when its next check is due, in ms since 1970; absent where none was done yet. */
export interface BoardRig extends RigStanding {
  readonly due?: number;
}

/** How each rig stands, worked out once for a list of checks and a day. */
export class Standings {
  #key: readonly unknown[] = [];
  #found: ReadonlyMap<string, BoardRig> = new Map();

  /**
   * `heads`: newest first. `now`: ISO 8601. `plans`: their titles by their ids; where a rig has a plan of its own, only checks by that plan
   * count for when the next is due.
   */
  of(
    heads: readonly CheckHead[],
    now: string,
    small: SmallStore,
    plans: ReadonlyMap<string, string>,
  ): ReadonlyMap<string, BoardRig> {
    const key = [heads, localDay(now), small.get('rig-defaults'), small.get('due-hours')];
    if (key.every((each, at) => each === this.#key[at])) return this.#found;
    this.#key = key;
    const wanted = (rig: string): string | undefined => plans.get(rigDefaults(small, rig).planId ?? '');
    const all = standings(rowsOf(heads), now, localDay, ({ rigId, plan }) => (wanted(rigId) ?? plan) === plan);
    this.#found = new Map(
      [...all].map(([rig, standing]): [string, BoardRig] => {
        const { last, open } = standing;
        const hours = rigDefaults(small, rig).dueHours ?? departmentDueHours(small);
        const items = openItemDefects(heads, rig).map(({ title, words }) => `${title} (${words})`);
        const due = last === undefined ? {} : { due: dueAt(last.date, hours) };
        return [rig, { ...standing, ...due, open: [...open, ...items] }];
      }),
    );
    return this.#found;
  }
}

function localDay(moment: string): string {
  return new Date(moment).toDateString();
}
