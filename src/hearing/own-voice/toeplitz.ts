/**
 * Solves T x = b for the symmetric Toeplitz matrix T[i][j] = r[|i - j|] by Levinson's recursion (Golub and Van Loan, Matrix Computations,
 * 4.7). `r` and `b` are of one length; r[0] > 0. Undefined when T is not positive definite, or hardly: when what a step cannot be foretold by
 * those before it is less than `least` of r[0].
 */
export function solveToeplitz(r: Float64Array, b: Float64Array, least = 0): Float64Array | undefined {
  const size = b.length;
  const scale = r[0] ?? 1;
  const at = (k: number): number => (r[k] ?? 0) / scale;
  const x = new Float64Array(size);
  const y = new Float64Array(size);
  const row = Float64Array.from({ length: size }, (_, k) => at(k));
  x[0] = (b[0] ?? 0) / scale;
  let alpha = -at(1);
  y[0] = alpha;
  let beta = 1;
  for (let k = 1; k < size; k += 1) {
    beta *= 1 - alpha * alpha;
    if (!(beta > least)) return undefined;
    const mu = ((b[k] ?? 0) / scale - folded(row, x, k)) / beta;
    for (let i = 0; i < k; i += 1) x[i] = (x[i] ?? 0) + mu * (y[k - 1 - i] ?? 0);
    x[k] = mu;
    if (k === size - 1) break;
    alpha = (-at(k + 1) - folded(row, y, k)) / beta;
    addReversed(y, k, alpha);
    y[k] = alpha;
  }
  return x;
}

/** The sum of r[i + 1] v[k - 1 - i] for i below k. */
function folded(r: Float64Array, v: Float64Array, k: number): number {
  let sum = 0;
  for (let i = 0; i < k; i += 1) sum += (r[i + 1] ?? 0) * (v[k - 1 - i] ?? 0);
  return sum;
}

/** v[i] += alpha v[k - 1 - i] for i below k, all at once. */
function addReversed(v: Float64Array, k: number, alpha: number): void {
  for (let i = 0, j = k - 1; i <= j; i += 1, j -= 1) {
    const [low, high] = [v[i] ?? 0, v[j] ?? 0];
    v[i] = low + alpha * high;
    if (i !== j) v[j] = high + alpha * low;
  }
}
