import { median } from './median.ts';
import { theilSen } from './theil-sen.ts';
import type { SlopeInterval } from './theil-sen.ts';
import { dateAt, epochMs } from '../units/calendar.ts';

/** One figure of one past check. `date` is ISO 8601. All values of a trend share a unit. */
export interface TrendPoint {
  readonly date: string;
  readonly value: number;
}

/** The limit that a trend may meet, in the unit of the points. */
export interface TrendLimit {
  readonly min?: number;
  readonly max?: number;
}

export type Trend =
  | { readonly kind: 'too-little-data'; readonly checks: number; readonly reason: string }
  | {
      readonly kind: 'trend';
      /** Checks that the slope rests on. */
      readonly checks: number;
      /** Change of the figure per day: Theil-Sen, with its interval. */
      readonly slope: number;
      readonly interval: SlopeInterval;
      /** The trend's value at the last check. */
      readonly level: number;
      readonly outlook: 'beyond' | 'approaching' | 'not-approaching';
      /** When the trend meets the limit it approaches, within ten years of the last check. */
      readonly meets?: Meeting;
      readonly reason: string;
    };

/** ISO 8601 dates (days). `latest` is absent where the slope's interval allows that the limit is never met. */
interface Meeting {
  readonly date: string;
  readonly earliest: string;
  readonly latest?: string;
}

const DAY = 86_400_000;
const FEWEST_CHECKS = 4;
/** Older checks say little of the rig as it is; also bounds the pairs. */
const MOST_CHECKS = 200;
const HORIZON_DAYS = 3652;

/**
 * Where a figure of one rig is heading. Checks of the same moment count once, by their median; points without a
 * readable date or a finite value are left out. Below four checks nothing is said.
 */
export function trend(points: readonly TrendPoint[], limit: TrendLimit): Trend {
  const { days, values, origin } = series(points);
  const checks = days.length;
  if (checks < FEWEST_CHECKS) {
    return {
      kind: 'too-little-data',
      checks,
      reason: `Too little data: ${checks} of at least ${FEWEST_CHECKS} checks on different dates.`,
    };
  }
  const { slope, interval } = theilSen(days, values);
  const last = days.at(-1) as number;
  const level = levelAt(days, values, slope) + slope * last;
  const common = { kind: 'trend', checks, slope, interval, level } as const;
  if ((limit.max !== undefined && level > limit.max) || (limit.min !== undefined && level < limit.min)) {
    return { ...common, outlook: 'beyond', reason: `The trend is beyond its limit already, over ${checks} checks.` };
  }
  const target = slope > 0 ? limit.max : slope < 0 ? limit.min : undefined;
  if (target === undefined)
    return { ...common, outlook: 'not-approaching', reason: `No trend towards a limit over ${checks} checks.` };
  const crossing = (rate: number): number | undefined => crossingDay(days, values, rate, target, last);
  const day = crossing(slope);
  if (day === undefined)
    return { ...common, outlook: 'approaching', reason: 'The trend meets its limit in more than ten years.' };
  const [fast, slow] = slope > 0 ? [interval.high, interval.low] : [interval.low, interval.high];
  const latest = slow * slope > 0 ? crossing(slow) : undefined;
  const meets: Meeting = {
    date: dateOf(origin, day),
    earliest: dateOf(origin, crossing(fast) ?? day),
    ...(latest === undefined ? {} : { latest: dateOf(origin, latest) }),
  };
  const span =
    meets.latest === undefined
      ? `from ${meets.earliest} on, or never`
      : `between ${meets.earliest} and ${meets.latest}`;
  const percent = Math.floor(interval.confidence * 100);
  return {
    ...common,
    outlook: 'approaching',
    meets,
    reason: `At this trend the limit is met on ${meets.date} (${percent} % interval: ${span}).`,
  };
}

/** Days since the first check and values, one per moment, in order; the latest `MOST_CHECKS`. */
function series(points: readonly TrendPoint[]): {
  readonly days: readonly number[];
  readonly values: readonly number[];
  readonly origin: number;
} {
  const moments = new Map<number, number[]>();
  for (const { date, value } of points) {
    const time = epochMs(date);
    if (!Number.isFinite(time) || !Number.isFinite(value)) continue;
    moments.set(time, [...(moments.get(time) ?? []), value]);
  }
  const ordered = [...moments].sort(([a], [b]) => a - b).slice(-MOST_CHECKS);
  const origin = ordered[0]?.[0] ?? 0;
  return {
    origin,
    days: ordered.map(([time]) => (time - origin) / DAY),
    values: ordered.map(([, values]) => median(values)),
  };
}

/** Day on which the line of slope `rate` through the middle of the points meets `target`; not before the last check. */
function crossingDay(
  days: readonly number[],
  values: readonly number[],
  rate: number,
  target: number,
  last: number,
): number | undefined {
  const day = Math.max(last, (target - levelAt(days, values, rate)) / rate);
  return day - last <= HORIZON_DAYS ? day : undefined;
}

/** Where the line of slope `rate` through the middle of the points stands on day 0. */
function levelAt(days: readonly number[], values: readonly number[], rate: number): number {
  return median(values.map((value, index) => value - rate * (days[index] as number)));
}

function dateOf(origin: number, day: number): string {
  return dateAt(origin + day * DAY)
    .toISOString()
    .slice(0, 10);
}
