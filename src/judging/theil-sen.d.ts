declare module 'ml-regression-theil-sen' {
  /** Median of the slopes of all pairs of points with different x, and the median of what that slope leaves over. */
  export class TheilSenRegression {
    constructor(x: readonly number[], y: readonly number[]);
    readonly slope: number;
    readonly intercept: number;
  }
}
