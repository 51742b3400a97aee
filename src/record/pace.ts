import type { Clock } from '../units/clock.ts';

/** Long work: it can be stopped, and says how far it is, from 0 to 1. */
export interface Work {
  readonly signal?: AbortSignal;
  /** By which it is told when the page has to live. Default: it never has, as in a terminal. */
  readonly steady?: Clock['steady'];
  readonly onProgress?: (fraction: number) => void;
}

/** Longest stretch of work between two turns of the page, in ms: three frames. */
const STRETCH_MS = 50;

/** To be awaited between pieces of work: lets the page live every 50 ms, and rejects with the signal's reason once it is aborted. */
export function breather({ signal, steady = () => 0 }: Omit<Work, 'onProgress'>): () => Promise<void> {
  let since = steady();
  return async () => {
    if (steady() - since >= STRETCH_MS) {
      await new Promise((go) => setTimeout(go));
      since = steady();
    }
    signal?.throwIfAborted();
  };
}
