/**
 * Knows what is still being worked on at the edges of a page: disk, engine, files of the voice. The sample clock moves on only when
 * nothing is, so that how long the machine takes changes nothing.
 */
export class Busy {
  #count = 0;
  #over = false;
  #changed: () => void = () => undefined;
  #tellDead: () => void = () => undefined;
  /** Resolves when the page is gone. */
  readonly dead = new Promise<void>((resolve) => (this.#tellDead = resolve));

  /** One more piece of work; it is over when the returned function is called. */
  begin(): () => void {
    let open = true;
    this.#count += 1;
    return () => {
      if (!open) return;
      open = false;
      this.#count -= 1;
      this.#changed();
    };
  }

  track<T>(work: Promise<T>): Promise<T> {
    const done = this.begin();
    return work.finally(done);
  }

  /** An object whose methods are tracked while their promises are open. */
  watching<T extends object>(object: T): T {
    return new Proxy(object, {
      get: (target, name) => {
        const value: unknown = Reflect.get(target, name);
        if (typeof value !== 'function') return value;
        return (...args: unknown[]): unknown => {
          const result: unknown = Reflect.apply(value, target, args);
          return result instanceof Promise ? this.track(result) : result;
        };
      },
    });
  }

  /** The page is gone: nobody waits for its work any more. */
  abandon(): void {
    this.#over = true;
    this.#tellDead();
    this.#changed();
  }

  /** Resolves when everything that was begun is over, and all that follows from it. */
  async settled(): Promise<void> {
    await nextTurn();
    while (this.#count > 0 && !this.#over) {
      await new Promise<void>((resolve) => (this.#changed = resolve));
      this.#changed = () => undefined;
      await nextTurn();
    }
  }
}

/** After every promise that can go on has gone on. In a page by a message, since timers are slowed down where nobody looks. */
function nextTurn(): Promise<void> {
  return new Promise((resolve) => {
    if (typeof setImmediate === 'function') {
      setImmediate(resolve);
      return;
    }
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(undefined);
  });
}
