/** A time of day that runs ahead of the steady clock by this much at once was set, or the device slept; ms. */
const LEAST_SLEEP_MS = 2000;

/**
 * Notices that the device slept. On many devices the steady clock stands still meanwhile, and the sound with it, so that a
 * window timed over a sleep would seem too short: only the time of day tells. It may also have been set forward, which
 * looks the same; either way what was being timed is in doubt. Nothing is timed by it.
 */
export class SleepWatch {
  #ahead: number | undefined;

  /** Takes both clocks as they are now, in ms: true when the device may have slept since it was last asked. */
  next(steady: number, timeOfDay: number): boolean {
    const before = this.#ahead;
    this.#ahead = timeOfDay - steady;
    return before !== undefined && this.#ahead - before >= LEAST_SLEEP_MS;
  }
}
