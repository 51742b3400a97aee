import type { ChainedStore } from '../record/chained-store.ts';

/** Told of what happens to the record, for what sends it on. */
export interface Noticed {
  /** Something of a check was kept. */
  readonly kept: () => void;
  /** A check is over, or was signed. */
  readonly sealed: () => void;
}

/** A store that tells when something of a check was kept, and when there is something to send; it is otherwise the same. */
export function noticingStore(store: ChainedStore, { kept, sealed }: Noticed): ChainedStore {
  return {
    ...store,
    get place() {
      return store.place;
    },
    append(check, index, event) {
      kept();
      return store.append(check, index, event);
    },
    async close(head) {
      await store.close(head);
      if (head.state !== 'running') sealed();
    },
    async sign(check, words) {
      await store.sign(check, words);
      sealed();
    },
  };
}
