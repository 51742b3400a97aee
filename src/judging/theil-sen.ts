import { median } from './median.ts';

/** Least coverage of the interval; 90 % because four checks allow 91.7 % and no more. */
const COVERAGE_WANTED = 0.9;

export interface SlopeInterval {
  readonly low: number;
  readonly high: number;
  /** The coverage that the interval really has, from the exact distribution. */
  readonly confidence: number;
}

export interface Slope {
  /** Theil-Sen: the median of the slopes of all pairs of points. */
  readonly slope: number;
  readonly interval: SlopeInterval;
}

/**
 * Theil-Sen slope with its distribution-free interval (Sen 1968, J. Am. Stat. Assoc. 63:1379): of the slopes of all
 * pairs, sorted, the k-th from either end, with the largest k whose coverage is at least 90 %. The number of pairs
 * steeper than the truth follows the distribution of Kendall's statistic, taken exactly. Pairs of equal `x` have no
 * slope and are left out. At least four points.
 */
export function theilSen(x: readonly number[], y: readonly number[]): Slope {
  const slopes = x
    .flatMap((xi, i) =>
      x.slice(i + 1).map((xj, offset) => ((y[i + 1 + offset] as number) - (y[i] as number)) / (xj - xi)),
    )
    .filter(Number.isFinite)
    .sort((a, b) => a - b);
  const { rank, confidence } = intervalRank(x.length);
  return {
    slope: median(slopes),
    interval: { low: slopes[rank - 1] as number, high: slopes[slopes.length - rank] as number, confidence },
  };
}

/** The rank from either end of the sorted slopes of `points` points, and the coverage that it gives. */
export function intervalRank(points: number): { readonly rank: number; readonly confidence: number } {
  const chances = inversionChances(points);
  let rank = 1;
  let tail = chances[0] as number;
  for (;;) {
    const wider = tail + (chances[rank] as number);
    if (1 - 2 * wider < COVERAGE_WANTED) return { rank, confidence: 1 - 2 * tail };
    tail = wider;
    rank += 1;
  }
}

/** Chance of each number of inversions, 0 to n(n-1)/2, in a random order of `points` things. */
function inversionChances(points: number): Float64Array {
  let chances = Float64Array.of(1);
  for (let size = 2; size <= points; size += 1) {
    const next = new Float64Array((size * (size - 1)) / 2 + 1);
    let window = 0;
    for (let count = 0; count < next.length; count += 1) {
      window += (chances[count] ?? 0) - (chances[count - size] ?? 0);
      next[count] = window / size;
    }
    chances = next;
  }
  return chances;
}
