import type { KnownKey } from './known-keys.ts';

/** Whose keys a device knows, and what it is called itself. Methods reject with the storage's own error. */
export interface KeyShelf {
  /** What this device is called; empty when nobody has named it. */
  name(): Promise<string>;
  rename(name: string): Promise<void>;
  /** Keys of other devices. */
  known(): Promise<readonly KnownKey[]>;
  keep(known: readonly KnownKey[]): Promise<void>;
}

/** Keys that are known until the page closes. */
export function memoryKeys(): KeyShelf {
  let called = '';
  let list: readonly KnownKey[] = [];
  return {
    name: () => Promise.resolve(called),
    rename(name) {
      called = name;
      return Promise.resolve();
    },
    known: () => Promise.resolve(list),
    keep(known) {
      list = known;
      return Promise.resolve();
    },
  };
}
