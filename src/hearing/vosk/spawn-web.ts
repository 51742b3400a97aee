import { confinedWorker } from '../worker/confined-worker.ts';
import workerUrl from './hearing-worker.ts?worker&url';
import type { FromWorker, WorkerHandle } from '../worker/protocol.ts';

/** Starts the hearing worker with the vosk engine in a browser. Its `model` is the id of a model in the library, or the address of the app's own. */
export function spawnVoskWorker(): WorkerHandle {
  const worker = confinedWorker(workerUrl, 'hearing (vosk)');
  return {
    post: (message) => worker.postMessage(message),
    onMessage: (take) => worker.addEventListener('message', (event: MessageEvent<FromWorker>) => take(event.data)),
    onDeath: (take) => worker.addEventListener('error', (event) => take(event.message || 'it could not be started')),
    terminate: () => worker.terminate(),
  };
}
