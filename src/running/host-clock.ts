import type { Clock } from '../units/clock.ts';

/** The clock of the page or process: the one place that reads it. */
export function hostClock(): Clock {
  return {
    steady: () => performance.now(),
    wall: () => new Date().toISOString(),
    every: (ms, tick) => {
      const timer = setInterval(tick, ms);
      return () => clearInterval(timer);
    },
  };
}
