/** The middle of the values, or the mean of the two middle ones. Throws for no values. */
export function median(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort();
  const [below, above] = [sorted[(sorted.length - 1) >> 1], sorted[sorted.length >> 1]];
  if (below === undefined || above === undefined) throw new RangeError('No values have no median.');
  return (below + above) / 2;
}
