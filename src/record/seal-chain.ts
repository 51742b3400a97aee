import type { Entry } from './log.ts';

/** Where the seals of a key stand: how many there are, and the digest of the last. */
export interface SealPlace {
  readonly number: number;
  readonly digest: string;
}

/** The last seal of a device, whole: a page that is killed before its log has it can still put it there. */
export interface LastSeal extends SealPlace {
  readonly check: string;
  readonly entry: Entry;
}

/** What chains the checks of a device to each other. Methods reject with the storage's own error. */
export interface SealChain {
  /** One seal at a time, over all tabs of this device. */
  inTurn<T>(work: () => Promise<T>): Promise<T>;
  last(): Promise<LastSeal | undefined>;
  /** Resolves when it is durable. */
  keep(seal: LastSeal): Promise<void>;
}

/** The chain of a key that ends with the page, or the program. */
export function memorySeals(): SealChain {
  let last: LastSeal | undefined;
  let turn: Promise<unknown> = Promise.resolve();
  return {
    inTurn(work) {
      const done = turn.then(work);
      turn = done.catch(() => undefined);
      return done;
    },
    last: () => Promise.resolve(last),
    keep(seal) {
      last = seal;
      return Promise.resolve();
    },
  };
}
