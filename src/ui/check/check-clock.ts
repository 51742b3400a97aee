import type { Ms } from '../../units/time.ts';

/** An ear reports every 100 ms of sound; a recogniser that is being restarted takes longer. */
const STALLED_MS = 2500;

/**
 * The one clock of a running check. While an ear listens it follows the ear's samples; without one it runs on the
 * page's own steady clock, from where the samples left off. It never goes back.
 */
export class CheckClock {
  readonly #steady: () => number;
  #at: Ms;
  #steadyAt: number;
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
    return this.#offset !== undefined && this.#steady() - this.#steadyAt < STALLED_MS;
  }

  /** The time now: between two reports of the ear it is carried on by the steady clock. */
  read(): Ms {
    return this.#at + Math.max(0, this.#steady() - this.#steadyAt);
  }

  /** The time `ms` ago, not before the check began. */
  ago(ms: number): Ms {
    return Math.max(0, this.read() - Math.max(0, ms));
  }

  /** The ear has taken in its samples up to `earMs`. The first report after `letGo` ties its clock to this one. */
  follow(earMs: Ms): Ms {
    this.#offset ??= this.read() - earMs;
    this.#at = Math.max(this.#at, this.#offset + earMs);
    this.#steadyAt = this.#steady();
    return this.#at;
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
