import type { ReactiveControllerHost } from 'lit';
import type { Outcome } from '../../units/outcome.ts';

/** What a field was refused: the text that is still in it, and why. */
export interface Refusal {
  readonly text: string;
  readonly line: string;
}

/** The draft of an editor, with the way back. A refused change leaves the draft as it was. */
export class Drafting<D> {
  current: D;
  /** Fields whose text is not in the draft, by name. The draft is not to be saved while there are any. */
  readonly refusals = new Map<string, Refusal>();
  readonly #host: ReactiveControllerHost;
  readonly #past: D[] = [];

  constructor(host: ReactiveControllerHost, first: D) {
    this.#host = host;
    this.current = first;
  }

  get changed(): boolean {
    return this.#past.length > 0;
  }

  /** Takes over the text of a field, or keeps it beside the reason why it is refused. */
  enter(name: string, text: string, next: Outcome<D>): void {
    this.refusals.delete(name);
    if (!next.ok) this.refusals.set(name, { text, line: lineOf(next) });
    this.take(next);
  }

  /** Takes over a change that is made at once, by a button or a tick. Gives the reason when it is refused. */
  take(next: Outcome<D>): string | undefined {
    this.#host.requestUpdate();
    if (!next.ok) return lineOf(next);
    if (next.value !== this.current) {
      this.#past.push(this.current);
      this.current = next.value;
    }
    return undefined;
  }

  /** Takes back the last change, and what was refused since. */
  undo(): void {
    this.refusals.clear();
    this.current = this.#past.pop() ?? this.current;
    this.#host.requestUpdate();
  }
}

function lineOf({ problem }: Extract<Outcome<unknown>, { ok: false }>): string {
  return problem.repair === undefined ? problem.what : `${problem.what} ${problem.repair}`;
}
