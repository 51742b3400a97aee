/** One case: its features, and whether it came true. */
export interface Case {
  readonly features: readonly number[];
  readonly is: boolean;
}

/** A logistic regression: the constant first, then a weight for each feature. */
export type Weights = readonly number[];

/** Pulls the weights to nothing, so that features that settle every case stay finite. The constant is free. */
const RIDGE = 1;
const ROUNDS = 30;

/** Most likely weights under a ridge, by Newton's method. */
export function fit(cases: readonly Case[]): Weights {
  const size = (cases[0]?.features.length ?? 0) + 1;
  let weights: readonly number[] = Array<number>(size).fill(0);
  for (let round = 0; round < ROUNDS; round += 1) {
    const slope = weights.map((weight, at) => (at === 0 ? 0 : -RIDGE * weight));
    const curve = weights.map((_, at) => weights.map((__, to): number => (at !== to ? 0 : at === 0 ? 1e-9 : RIDGE)));
    for (const { features, is } of cases) {
      const row = [1, ...features];
      const chance = predict(weights, features);
      for (const [at, x] of row.entries()) {
        slope[at] = (slope[at] ?? 0) + ((is ? 1 : 0) - chance) * x;
        for (const [to, y] of row.entries()) curve[at]![to] = (curve[at]?.[to] ?? 0) + chance * (1 - chance) * x * y;
      }
    }
    const step = solve(curve, slope);
    weights = weights.map((weight, at) => weight + (step[at] ?? 0));
  }
  return weights;
}

/** The chance that a case comes true, from 0 to 1. */
export function predict([constant = 0, ...weights]: Weights, features: readonly number[]): number {
  const sum = features.reduce((total, x, at) => total + x * (weights[at] ?? 0), constant);
  return 1 / (1 + Math.exp(-sum));
}

/** Gauss with pivots; `matrix` is not singular, since it has the ridge. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): readonly number[] {
  const rows = matrix.map((row, at) => [...row, right[at] ?? 0]);
  for (let at = 0; at < rows.length; at += 1) {
    const pivot = rows.slice(at).reduce((best, row) => (Math.abs(row[at] ?? 0) > Math.abs(best[at] ?? 0) ? row : best));
    rows.splice(rows.indexOf(pivot), 1);
    rows.splice(at, 0, pivot);
    for (const row of rows) {
      if (row === pivot) continue;
      const factor = (row[at] ?? 0) / (pivot[at] ?? 1);
      for (let to = at; to < row.length; to += 1) row[to] = (row[to] ?? 0) - factor * (pivot[to] ?? 0);
    }
  }
  return rows.map((row, at) => (row.at(-1) ?? 0) / (row[at] ?? 1));
}
