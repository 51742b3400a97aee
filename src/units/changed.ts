/**
 * A copy of the value with these changes, as `{ ...value, … }` is one, for what is copied many times in a replay. Copies of as many literals
 * have as many hidden shapes, and engines then look each of their keys up anew; those that are made in one place have few.
 */
export function changed<T extends object>(value: T, change: NoInfer<Partial<T>>): T {
  return Object.assign({ ...value }, change);
}
