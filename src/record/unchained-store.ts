import type { ChainedStore } from './chained-store.ts';
import type { EntryStore } from './record-store.ts';

/**
 * A record for a page without WebCrypto (not loaded from https or localhost): checks are kept, and chained when the same
 * browser opens the page securely. Until then nothing is exported, signed or imported: those reject with a plain sentence.
 */
export function unchainedStore(inner: EntryStore): ChainedStore {
  const refuse = (): Promise<never> =>
    Promise.reject(new Error('Logs are exported, imported and signed only at a secure address (https).'));
  return {
    ...inner,
    get place() {
      return inner.place;
    },
    log: refuse,
    sign: refuse,
    packing: refuse,
    takeIn: refuse,
  };
}
