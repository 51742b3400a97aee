import { median } from '../judging/median.ts';
import { convert } from '../judging/compare.ts';
import type { FigureName, FigureUnit } from '../judging/result.ts';
import { figureOf, type Row } from './row.ts';

/** One figure of a check beside the same figure of the rig's earlier checks. All values in `unit`. */
export interface Beside {
  readonly step: string;
  readonly title: string;
  readonly figure: FigureName;
  readonly unit: FigureUnit;
  readonly now: number;
  /** Of the check before. */
  readonly before?: number;
  /** Median of up to `MOST` earlier checks, and how many they were. */
  readonly usual?: number;
  readonly checks: number;
}

/** Said by another figure already (a drop by its rate), or up to the operator (when the needles are called). */
const NOT_COMPARED: ReadonlySet<FigureName> = new Set([
  'interval',
  'primary',
  'secondary',
  'primaryDrop',
  'secondaryDrop',
]);
/** Older checks say little of the rig as it is. */
const MOST = 10;

/** Each figure of a check beside those of the same rig's earlier checks that have it. */
export function besideEarlier(rows: readonly Row[], check: string): Beside[] {
  const row = rows.find(({ id }) => id === check);
  if (row === undefined) return [];
  const earlier = rows
    .filter(({ rigId, date }) => rigId === row.rigId && date < row.date)
    .sort((a, b) => b.date.localeCompare(a.date));
  return row.steps.flatMap(({ id, title, figures }) =>
    (figures ?? []).flatMap(({ name, value, unit }) => {
      if (id === undefined || NOT_COMPARED.has(name)) return [];
      const values = earlier
        .flatMap((each) => figureOf(each, id, name) ?? [])
        .slice(0, MOST)
        .map((figure) => convert(figure.value, figure.unit, unit));
      const [before] = values;
      return [
        {
          step: id,
          title,
          figure: name,
          unit,
          now: value,
          ...(before === undefined ? {} : { before, usual: median(values) }),
          checks: values.length,
        },
      ];
    }),
  );
}
