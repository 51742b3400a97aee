/** Values in groups of one key each, both in their order. */
export function groupedBy<T>(values: readonly T[], keyOf: (value: T) => string): T[][] {
  const groups = new Map<string, T[]>();
  for (const value of values) {
    const group = groups.get(keyOf(value));
    if (group === undefined) groups.set(keyOf(value), [value]);
    else group.push(value);
  }
  return [...groups.values()];
}
