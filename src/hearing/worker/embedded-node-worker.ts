import { parentPort } from 'node:worker_threads';
import { createEmbeddedEngine } from '../embedded/recogniser.ts';
import { folderModelStore } from '../embedded/store-node.ts';
import type { ToWorker } from './hearing-messages.ts';
import { serve } from './serve.ts';

const take = serve(
  (model) => createEmbeddedEngine(folderModelStore(model)),
  (message) => parentPort?.postMessage(message),
);
parentPort?.on('message', (message: ToWorker) => take(message));
