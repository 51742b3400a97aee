import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** Keeps the screen lit while something is done, and lets it sleep when that is over or its element is gone. */
export class LitScreenController implements ReactiveController {
  #letSleep: (() => void) | undefined;

  constructor(host: ReactiveControllerHost) {
    host.addController(this);
  }

  /** `stayAwake` keeps it lit until the function that it returns is called. */
  keep(stayAwake: () => () => void): void {
    this.letSleep();
    this.#letSleep = stayAwake();
  }

  letSleep(): void {
    this.#letSleep?.();
    this.#letSleep = undefined;
  }

  hostDisconnected(): void {
    this.letSleep();
  }
}
