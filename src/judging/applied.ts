import { without } from '../units/without.ts';
import type { Limit } from './profile.ts';
import type { AppliedLimit, FigureName } from './result.ts';

/** A profile's limit as it applies to one figure. */
export function appliedTo(limit: Limit, figure: FigureName): AppliedLimit {
  return { ...(limit.maxTimesCapacity === undefined ? limit : without(limit, 'maxTimesCapacity')), figure };
}
