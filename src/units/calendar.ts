/**
 * Dates out of what is handed in: the only place of the pure rooms that knows `Date`, so that none of them can read the clock by it.
 */

/** Ms since 1970 of an ISO 8601 time; NaN for what is none. */
export function epochMs(iso: string): number {
  return Date.parse(iso);
}

/** The moment `ms` after the beginning of 1970. */
export function dateAt(ms: number): Date {
  return new Date(ms);
}
