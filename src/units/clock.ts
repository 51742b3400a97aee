/** The one source of time of what is being done: every other part is given its times. */
export interface Clock {
  /** Ms that only grow, whatever is done to the device's time of day. On some devices they stand still while it sleeps. */
  readonly steady: () => number;
  /**
   * The time of day, ISO 8601: for the header of a check and where it is taken up again. Nothing is ever measured by it,
   * since it may be set forward or back at any moment.
   */
  readonly wall: () => string;
  /** Calls back every `ms` until the returned function is called. */
  readonly every: (ms: number, tick: () => void) => () => void;
}
