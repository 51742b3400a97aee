/** A copy of the value without these keys. */
export function without<T extends object, K extends keyof T & string>(value: T, ...keys: readonly K[]): Omit<T, K> {
  return Object.fromEntries(Object.entries(value).filter(([key]) => !keys.includes(key as K))) as Omit<T, K>;
}
