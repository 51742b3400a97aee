import type { Limit } from './profile.ts';
import type { AppliedLimit, FigureName } from './result.ts';

/** A profile's limit as it applies to one figure. */
export function appliedTo(
  { min, max, strict, unit, source, condition, about }: Limit,
  figure: FigureName,
): AppliedLimit {
  return {
    figure,
    ...(min === undefined ? {} : { min }),
    ...(max === undefined ? {} : { max }),
    strict,
    unit,
    source,
    ...(condition === undefined ? {} : { condition }),
    ...(about === undefined ? {} : { about }),
  };
}
