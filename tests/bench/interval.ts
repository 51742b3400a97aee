/** Two-sided 95 %. */
const Z = 1.96;

interface Interval {
  readonly low: number;
  readonly high: number;
}

/** The 95 % interval of a share, from 0 to 1 (Wilson, 1927). Everything for none of none. */
export function wilson(part: number, of: number): Interval {
  if (of === 0) return { low: 0, high: 1 };
  const share = part / of;
  const middle = (share + (Z * Z) / (2 * of)) / (1 + (Z * Z) / of);
  const half = (Z / (1 + (Z * Z) / of)) * Math.sqrt((share * (1 - share)) / of + (Z * Z) / (4 * of * of));
  return { low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}

/** Percent with its 95 % interval. */
export function withInterval(part: number, of: number): string {
  const { low, high } = wilson(part, of);
  const percent = (x: number): string => (100 * x).toFixed(1);
  return `${percent(of === 0 ? 0 : part / of)} (${percent(low)}–${percent(high)})`;
}

/** The exact 95 % interval of the mean of a Poisson variable of which `count` was seen (Garwood, 1936). */
export function poisson(count: number): Interval {
  const below = (mean: number, most: number): number => {
    let term = Math.exp(-mean);
    let sum = term;
    for (let k = 1; k <= most; k += 1) sum += term *= mean / k;
    return sum;
  };
  const solve = (goesOn: (mean: number) => boolean): number => {
    let [low, high] = [0, 3 * count + 20];
    for (let n = 0; n < 60; n += 1) {
      const middle = (low + high) / 2;
      if (goesOn(middle)) low = middle;
      else high = middle;
    }
    return low;
  };
  return {
    low: count === 0 ? 0 : solve((mean) => 1 - below(mean, count - 1) < 0.025),
    high: solve((mean) => below(mean, count) > 0.025),
  };
}
