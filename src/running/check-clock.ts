import type { Ms } from '../units/time.ts';

/** An ear reports every 100 ms of sound; a recogniser that is being restarted takes longer. */
const STALLED_MS = 2500;

/**
 * The one clock of a running check. What is heard is timed by the ear's samples; presses, and a check without an ear,
 * by the page's own steady clock, which the samples correct when it falls behind. It never goes back.
 */
export class CheckClock {
  readonly #steady: () => number;
  #at: Ms;
  #steadyAt: number;
  #reportedAt = -Infinity;
  /** Check time of the ear's sample 0, while one is followed. */
  #offset: Ms | undefined;

  /** `steady` gives ms that only grow (`performance.now`); `from` is where a resumed check goes on. */
  constructor(steady: () => number, from: Ms = 0) {
    this.#steady = steady;
    this.#at = from;
    this.#steadyAt = steady();
  }

  /** True while an ear's samples drive the time; false without an ear, or when it has not reported for a while. */
  get following(): boolean {
    return this.#offset !== undefined && this.#steady() - this.#reportedAt < STALLED_MS;
  }

  /** The time now: between two reports of the ear it is carried on by the steady clock. */
  read(): Ms {
    return this.#at + Math.max(0, this.#steady() - this.#steadyAt);
  }

  /** The time `ms` ago, not before the check began. */
  ago(ms: number): Ms {
    return Math.max(0, this.read() - Math.max(0, ms));
  }

  /**
   * The ear has worked through its samples up to `earMs`: gives that as a time of the check. The first report after
   * `letGo` ties the two clocks. A report that comes late (a busy recogniser) does not set the time back.
   */
  follow(earMs: Ms): Ms {
    this.#offset ??= Math.round(this.read() - earMs);
    const heardUntil = this.#offset + earMs;
    if (heardUntil > this.read()) {
      this.#at = heardUntil;
      this.#steadyAt = this.#steady();
    }
    this.#reportedAt = this.#steady();
    return heardUntil;
  }

  /** The check time of a time on the ear's own clock. */
  ofEar(earMs: Ms): Ms {
    return (this.#offset ?? this.read() - earMs) + earMs;
  }

  /** The ear is gone: from now on the steady clock alone counts. */
  letGo(): void {
    this.#at = this.read();
    this.#steadyAt = this.#steady();
    this.#offset = undefined;
  }
}
