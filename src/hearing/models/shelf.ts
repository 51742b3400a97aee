/**
 * Where bytes are kept between visits: named pieces. Keys are paths of letters, digits, `-`, `.` and `/`.
 * A `put` is all or nothing, and rejects when the disk is full (see `isFull`).
 */
export interface Shelf {
  put(key: string, bytes: Blob): Promise<void>;
  get(key: string): Promise<Blob | undefined>;
  keys(): Promise<readonly string[]>;
  /** Removing what is not there is no error. */
  remove(key: string): Promise<void>;
}

/** True for the errors by which browsers and Node say that there is no room left. */
export function isFull(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  return (
    error.name === 'QuotaExceededError' || ('code' in error && (error.code === 'ENOSPC' || error.code === 'EDQUOT'))
  );
}

/** Forgets everything with the page: for browsers that let a page keep nothing, and for tests. */
export function memoryShelf(): Shelf {
  const pieces = new Map<string, Blob>();
  return {
    put: (key, bytes) => {
      pieces.set(key, bytes);
      return Promise.resolve();
    },
    get: (key) => Promise.resolve(pieces.get(key)),
    keys: () => Promise.resolve([...pieces.keys()]),
    remove: (key) => {
      pieces.delete(key);
      return Promise.resolve();
    },
  };
}
