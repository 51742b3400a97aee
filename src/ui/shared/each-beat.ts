import { AsyncDirective, directive, type DirectiveResult } from 'lit/async-directive.js';
import type { Pulse } from '../../running/pulse.ts';

class EachBeat extends AsyncDirective {
  #pulse: Pick<Pulse<unknown>, 'watch'> | undefined;
  #draw: () => unknown = () => undefined;
  #stop: () => void = () => undefined;
  #frame: number | undefined;

  render(pulse: Pick<Pulse<unknown>, 'watch'>, draw: () => unknown): unknown {
    this.#draw = draw;
    if (pulse !== this.#pulse) {
      this.#stop();
      this.#pulse = pulse;
      if (this.isConnected) this.#watch();
    }
    return this.#draw();
  }

  protected override disconnected(): void {
    this.#stop();
    if (this.#frame !== undefined) cancelAnimationFrame(this.#frame);
    this.#frame = undefined;
  }

  protected override reconnected(): void {
    this.#watch();
  }

  #watch(): void {
    this.#stop = this.#pulse?.watch(() => this.#soon()) ?? this.#stop;
  }

  /** A recording beats hundreds of times a second; at most one picture is drawn per frame. */
  #soon(): void {
    this.#frame ??= requestAnimationFrame(() => {
      this.#frame = undefined;
      this.setValue(this.#draw());
    });
  }
}

const directed = directive(EachBeat);

/** Draws this part anew after each beat of a pulse, and nothing around it. */
export function eachBeat<T>(pulse: Pulse<T>, draw: (value: T) => unknown): DirectiveResult {
  return directed(pulse, () => draw(pulse.value));
}
