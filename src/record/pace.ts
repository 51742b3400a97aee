/** Long work: it can be stopped, and says how far it is, from 0 to 1. */
export interface Work {
  readonly signal?: AbortSignal;
  readonly onProgress?: (fraction: number) => void;
}

/** Longest stretch of work between two turns of the page, in ms: three frames. */
const STRETCH_MS = 50;

/**
 * To be awaited between pieces of work: lets the page live every 50 ms, and rejects with the signal's reason once it is aborted.
 */
export function breather(signal: AbortSignal | undefined): () => Promise<void> {
  let since = performance.now();
  return async () => {
    if (performance.now() - since >= STRETCH_MS) {
      await new Promise((go) => setTimeout(go));
      since = performance.now();
    }
    signal?.throwIfAborted();
  };
}
