/** A value that changes many times a second. Whoever shows it watches it alone, so that nothing else is drawn for it. */
export class Pulse<T> {
  #value: T;
  readonly #watchers = new Set<() => void>();

  constructor(value: T) {
    this.#value = value;
  }

  get value(): T {
    return this.#value;
  }

  beat(value: T): void {
    this.#value = value;
    for (const changed of this.#watchers) changed();
  }

  /** Calls back after each beat, until the returned function is called. */
  watch(changed: () => void): () => void {
    this.#watchers.add(changed);
    return () => this.#watchers.delete(changed);
  }
}
