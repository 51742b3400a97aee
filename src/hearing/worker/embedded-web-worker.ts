import { createEmbeddedEngine } from '../embedded/recogniser.ts';
import { webModelStore } from '../embedded/store-web.ts';
import type { ToWorker } from './hearing-messages.ts';
import { serve } from './serve.ts';

// The module's scope is the worker's: compiled with DOM types for the rest of the app, hence the narrow view of it.
const scope = self as unknown as {
  postMessage(message: unknown): void;
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
};

const take = serve(
  (model) => createEmbeddedEngine(webModelStore(model)),
  (message) => scope.postMessage(message),
);
scope.onmessage = (event) => take(event.data);
