/** A database request that has already succeeded; its handler runs once the caller has had time to set it. */
class Done<T> {
  onsuccess: ((event: { target: Done<T> }) => void) | null = null;
  constructor(readonly result: T) {
    queueMicrotask(() => this.onsuccess?.({ target: this }));
  }
}

/** Stores nothing, finds nothing. */
class EmptyStore {
  put(): Done<undefined> {
    return new Done(undefined);
  }
  get(): Done<undefined> {
    return new Done(undefined);
  }
  delete(): Done<undefined> {
    return new Done(undefined);
  }
  index(): { openKeyCursor(): Done<null> } {
    return { openKeyCursor: () => new Done(null) };
  }
}

class EmptyTransaction {
  oncomplete: (() => void) | null = null;
  constructor() {
    setTimeout(() => this.oncomplete?.());
  }
  objectStore(): EmptyStore {
    return new EmptyStore();
  }
}

class EmptyDatabase {
  transaction(): EmptyTransaction {
    return new EmptyTransaction();
  }
  close(): void {
    // Nothing is open.
  }
}

/**
 * The part of IndexedDB that the engine's file system (Emscripten's IDBFS) uses, in a form that keeps nothing. The engine also
 * loads where the browser has no IndexedDB, as in some private modes.
 */
export function keepNothing(): { open(): Done<EmptyDatabase> } {
  return { open: () => new Done(new EmptyDatabase()) };
}
