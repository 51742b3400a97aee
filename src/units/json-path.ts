/** A JSON path as people write it: `faults[2].psiPerMinute`; empty for the whole. */
export function jsonPath(keys: readonly unknown[]): string {
  return keys
    .map((key) => (typeof key === 'number' ? `[${key}]` : `.${String(key)}`))
    .join('')
    .replace(/^\./, '');
}
