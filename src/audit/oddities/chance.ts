/** Chance of at least `hits` of `of` independent tries that each succeed with the chance `each`: exact. */
export function atLeast(hits: number, of: number, each: number): number {
  if (hits <= 0) return 1;
  if (each >= 1) return 1;
  if (each <= 0 || hits > of) return 0;
  let logTerm = logChoose(of, hits) + hits * Math.log(each) + (of - hits) * Math.log1p(-each);
  let sum = 0;
  for (let k = hits; k <= of; k += 1) {
    sum += Math.exp(logTerm);
    logTerm += Math.log((of - k) / (k + 1)) + Math.log(each / (1 - each));
  }
  return Math.min(1, sum);
}

/** Chance of at least `hits` among tries with chances of their own: exact, by convolution. */
export function atLeastOf(hits: number, chances: readonly number[]): number {
  return tail(
    hits,
    chances.map((each) => [
      [0, 1 - each],
      [1, each],
    ]),
  );
}

/** A number and its chance. */
export type Weighted = readonly [value: number, chance: number];

/** Chance that the sum of independent whole numbers is `least` or more: exact, by convolution. */
export function tail(least: number, summands: readonly (readonly Weighted[])[]): number {
  let sums = new Map<number, number>([[0, 1]]);
  for (const summand of summands) {
    const next = new Map<number, number>();
    for (const [sum, chance] of sums)
      for (const [value, weight] of summand) next.set(sum + value, (next.get(sum + value) ?? 0) + chance * weight);
    sums = next;
  }
  let above = 0;
  for (const [sum, chance] of sums) if (sum >= least) above += chance;
  return Math.min(1, above);
}

function logChoose(of: number, chosen: number): number {
  let sum = 0;
  for (let k = 1; k <= chosen; k += 1) sum += Math.log((of - chosen + k) / k);
  return sum;
}

/** What of several findings stands when so many were looked for (Holm 1979): those that chance alone gives in at most `level` of collections. */
export function standing<T extends { readonly chance: number }>(
  found: readonly T[],
  level: number,
): (T & { readonly ofAll: number })[] {
  const inOrder = found.toSorted((a, b) => a.chance - b.chance);
  const kept: (T & { readonly ofAll: number })[] = [];
  let most = 0;
  for (const [at, each] of inOrder.entries()) {
    most = Math.max(most, Math.min(1, each.chance * (inOrder.length - at)));
    if (most > level) break;
    kept.push({ ...each, ofAll: most });
  }
  return kept;
}
