import { isAdverse } from '../check/cab.ts';
import type { Meaning } from '../grammar/meaning.ts';

const NO_DEFECT = new Set(['good', 'value', 'repaired', 'skipped', 'absent']);

/** True for a meaning that tells of nothing but what is bad or went wrong: words that are only near it may be taken for it, to the safe side. */
export function isAllBad({ cues, items = [], ...rest }: Meaning): boolean {
  if (cues.length + items.length === 0 || Object.keys(rest).length > 0) return false;
  return cues.every(isAdverse) && items.every(({ state }) => !NO_DEFECT.has(state));
}
