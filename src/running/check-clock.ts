import type { Ms } from '../units/time.ts';

/** An ear reports every 100 ms of sound; a recogniser that is being restarted takes longer. */
const STALLED_MS = 2500;

/** Moments of an ear that are remembered: what is heard late is timed by the moment before it. */
const MOST_TIES = 20;

/**
 * The one clock of a running check. What is heard is timed by the ear's samples; presses, and a check without an ear,
 * by the host's steady clock, which the samples of a recording run ahead of. It never goes back.
 */
export class CheckClock {
  readonly #steady: () => number;
  #at: Ms;
  #steadyAt: number;
  #reportedAt = -Infinity;
  /** Moments that both clocks know, oldest first. */
  #ties: readonly { readonly ear: Ms; readonly at: Ms }[] = [];
  /** The ear itself says when its sound was taken. */
  #tiedByEar = false;

  /** `steady` gives ms that only grow (`performance.now`); `from` is where a resumed check goes on. */
  constructor(steady: () => number, from: Ms = 0) {
    this.#steady = steady;
    this.#at = from;
    this.#steadyAt = steady();
  }

  /** True while an ear's samples drive the time; false without an ear, or when it has not reported for a while. */
  get following(): boolean {
    return this.#ties.length > 0 && this.#steady() - this.#reportedAt < STALLED_MS;
  }

  /** The time now: between two reports of the ear it is carried on by the steady clock. */
  read(): Ms {
    return this.#at + Math.max(0, this.#steady() - this.#steadyAt);
  }

  /** The time `ms` ago, not before the check began. */
  ago(ms: number): Ms {
    return Math.max(0, this.read() - Math.max(0, ms));
  }

  /** The sound at `earMs` of the ear was taken at `steady` ms of the steady clock: so from there on, until the next tie. */
  tie(earMs: Ms, steady: number): void {
    const at = this.#at + steady - this.#steadyAt;
    const before = this.#tiedByEar ? this.#ties : [];
    this.#tiedByEar = true;
    const least = before.length === 0 ? 0 : this.ofEar(earMs);
    this.#ties = [...before.slice(1 - MOST_TIES), { ear: earMs, at: Math.max(least, at) }];
  }

  /**
   * The ear has worked through its samples up to `earMs`: gives that as a time of the check. The first report of an ear
   * that does not tie the two clocks does so itself. A report that comes late (a busy recogniser) does not set the time back.
   */
  follow(earMs: Ms): Ms {
    if (this.#ties.length === 0) this.#ties = [{ ear: earMs, at: this.read() }];
    const heardUntil = this.ofEar(earMs);
    if (heardUntil > this.read()) {
      this.#at = heardUntil;
      this.#steadyAt = this.#steady();
    }
    this.#reportedAt = this.#steady();
    return heardUntil;
  }

  /** The check time of a time on the ear's own clock. */
  ofEar(earMs: Ms): Ms {
    const tie = this.#ties.findLast(({ ear }) => ear <= earMs) ?? this.#ties[0];
    return tie === undefined ? this.read() : Math.round(tie.at + earMs - tie.ear);
  }

  /** The ear is gone: from now on the steady clock alone counts. */
  letGo(): void {
    this.#at = this.read();
    this.#steadyAt = this.#steady();
    this.#reportedAt = -Infinity;
    if (!this.#tiedByEar) this.#ties = [];
  }
}
