import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { placeOf, type Place } from '../shell/places.ts';

interface PlaceWatch {
  /** While it is true the address is not followed. */
  readonly stays: () => boolean;
  /** Another screen is shown than `before`. */
  readonly moved: (before: Place) => void;
}

/** Which screen the address names. */
export class PlaceController implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  readonly #watch: PlaceWatch;
  #here = placeOf(location.hash);

  constructor(host: ReactiveControllerHost, watch: PlaceWatch) {
    this.#host = host;
    this.#watch = watch;
    host.addController(this);
  }

  get here(): Place {
    return this.#here;
  }

  hostConnected(): void {
    window.addEventListener('hashchange', this.follow);
  }

  hostDisconnected(): void {
    window.removeEventListener('hashchange', this.follow);
  }

  /** To be called once the address is followed again: it may have been changed in the meantime. */
  follow = (): void => {
    if (this.#watch.stays()) return;
    const before = this.#here;
    this.#here = placeOf(location.hash);
    this.#host.requestUpdate();
    if (this.#here.name !== before.name) this.#watch.moved(before);
  };
}
