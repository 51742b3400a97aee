import { convert } from '../judging/compare.ts';
import type { FigureName, FigureUnit } from '../judging/result.ts';
import { trend, type Trend, type TrendLimit, type TrendPoint } from '../judging/trend.ts';
import type { HeadFigure } from '../record/record-store.ts';
import { figureOf, type Row } from './row.ts';

/** Figures that say how a rig ages, not how it was driven to its readings. */
const AGEING: readonly FigureName[] = [
  'cutOut',
  'cutIn',
  'differential',
  'primaryRate',
  'secondaryRate',
  'warningAt',
  'activationAt',
  'buildUpTime',
  'frontTread',
  'rearTread',
];
/** How far ahead a trend may meet its limit and still be said to drift, in days: a quarter. */
const AHEAD_DAYS = 92;
/** Older checks say little of the rig as it is, and are not drawn either. */
const MOST_CHECKS = 60;
const DAY = 86_400_000;

/**
 * `outside`: the newest value is, whatever the trend is. `soon`: at this trend the limit is met within a quarter, and it is a trend, not
 * chance. `later`: there is a day on which it would be met, which is farther away, or chance explains it.
 */
export type Lamp = 'beyond' | 'outside' | 'soon' | 'later' | 'steady' | 'unknown';

/** Where one figure of one step of a rig is heading. */
export interface RigTrend {
  readonly step: string;
  readonly title: string;
  readonly figure: FigureName;
  readonly unit: FigureUnit;
  /** The bounds of the newest check, in `unit`. */
  readonly min?: number;
  readonly max?: number;
  /** Oldest first. */
  readonly points: readonly (TrendPoint & { readonly check: string })[];
  readonly trend: Trend;
  readonly lamp: Lamp;
}

/** The trends of one rig, worst lamp first; only of figures that the newest check with them held against a limit. */
export function trendsOf(rows: readonly Row[], rig: string): RigTrend[] {
  const own = rows
    .filter(({ rigId }) => rigId === rig)
    .sort((a, b) => (a.date < b.date ? -1 : 1))
    .slice(-MOST_CHECKS);
  const series = new Map<string, { step: string; title: string; figure: FigureName; newest: HeadFigure }>();
  for (const row of own) {
    for (const { id, title, figures } of row.steps) {
      if (id === undefined) continue;
      for (const newest of figures ?? []) {
        if (AGEING.includes(newest.name))
          series.set(`${id} ${newest.name}`, { step: id, title, figure: newest.name, newest });
      }
    }
  }
  return [...series.values()]
    .flatMap(({ step, title, figure, newest }) => {
      const { unit, limitUnit } = newest;
      if (limitUnit === undefined) return [];
      const bound = (value: number | undefined): number | undefined =>
        value === undefined ? undefined : convert(value, limitUnit, unit);
      const min = bound(newest.min);
      const max = bound(newest.max);
      const points = own.flatMap((row) => {
        const point = figureOf(row, step, figure);
        return point === undefined
          ? []
          : [{ check: row.id, date: row.date, value: convert(point.value, point.unit, unit) }];
      });
      const limits = { ...(min === undefined ? {} : { min }), ...(max === undefined ? {} : { max }) };
      const found = trend(points, limits);
      return [
        { step, title, figure, unit, ...limits, points, trend: found, lamp: lampOf(found, limits, points.at(-1)) },
      ];
    })
    .sort((a, b) => ORDER[a.lamp] - ORDER[b.lamp]);
}

const ORDER: Readonly<Record<Lamp, number>> = { beyond: 0, outside: 1, soon: 2, later: 3, steady: 4, unknown: 5 };

function lampOf(found: Trend, { min, max }: TrendLimit, last: TrendPoint | undefined): Lamp {
  if (found.kind === 'trend' && found.outlook === 'beyond') return 'beyond';
  if (last !== undefined && (last.value > (max ?? Infinity) || last.value < (min ?? -Infinity))) return 'outside';
  if (found.kind === 'too-little-data') return 'unknown';
  const { meets, slope, interval } = found;
  if (meets === undefined || last === undefined) return 'steady';
  const ahead = (Date.parse(meets.date) - Date.parse(last.date)) / DAY;
  // Dials are read in whole marks, so many pairs tie: an interval that only touches zero holds no slope the other way.
  const sure = interval.low * slope >= 0 && interval.high * slope >= 0;
  return sure && ahead <= AHEAD_DAYS ? 'soon' : 'later';
}

/** A figure of which something has to be said before anything else. */
export function warns(lamp: Lamp): boolean {
  return lamp === 'beyond' || lamp === 'outside' || lamp === 'soon';
}

/** The worst lamp of these trends. */
export function worstLamp(trends: readonly RigTrend[]): Lamp {
  return trends[0]?.lamp ?? 'unknown';
}

/** Rigs of which a figure is beyond its limit, or heads for it. `breathe` is awaited between rigs. */
export async function driftingRigs(
  rows: readonly Row[],
  breathe: () => Promise<void>,
): Promise<ReadonlyMap<string, readonly RigTrend[]>> {
  const byRig = new Map<string, Row[]>();
  for (const row of rows) {
    const own = byRig.get(row.rigId);
    if (own === undefined) byRig.set(row.rigId, [row]);
    else own.push(row);
  }
  const found = new Map<string, readonly RigTrend[]>();
  for (const [rig, own] of byRig) {
    await breathe();
    const drifting = trendsOf(own, rig).filter(({ lamp }) => lamp === 'beyond' || lamp === 'soon');
    if (drifting.length > 0) found.set(rig, drifting);
  }
  return found;
}
