import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** Draws its element for what changes many times a second: at most one state per frame. */
export class FrameController implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  #frame: number | undefined;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    host.addController(this);
  }

  drawSoon(): void {
    this.#frame ??= requestAnimationFrame(() => {
      this.#frame = undefined;
      this.#host.requestUpdate();
    });
  }

  hostDisconnected(): void {
    if (this.#frame !== undefined) cancelAnimationFrame(this.#frame);
    this.#frame = undefined;
  }
}
