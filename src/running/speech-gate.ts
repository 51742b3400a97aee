import type { Command } from '../grammar/meaning.ts';
import type { Ms } from '../units/time.ts';

/** How long after its last sound the tool may still hear itself: room and loudspeaker. */
const TAIL_MS: Ms = 250;
/** What gets through while the tool speaks. */
const ALWAYS: readonly Command[] = ['stop-check', 'correction'];

/** Knows when the tool spoke, on the clock of the check, so that it does not take its own voice for a callout. */
export class SpeechGate {
  #spans: { from: Ms; to: Ms }[] = [];

  speaking(on: boolean, at: Ms): void {
    if (on) this.#spans = [...this.#spans.slice(-7), { from: at, to: Infinity }];
    else this.#spans = this.#spans.map((span) => (span.to === Infinity ? { ...span, to: at + TAIL_MS } : span));
  }

  /** The operator pressed to talk, so the voice was cut: what comes from here on is theirs. */
  cut(at: Ms): void {
    this.#spans = this.#spans.map((span) => (span.to > at ? { ...span, to: at } : span));
  }

  /** True when a callout with this onset must not count. */
  closedFor(onset: Ms, command: Command | undefined): boolean {
    if (command !== undefined && ALWAYS.includes(command)) return false;
    return this.#spans.some((span) => onset >= span.from && onset <= span.to);
  }
}
