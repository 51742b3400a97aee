import workerUrl from './web-worker.ts?worker&url';
import { confinedWorker } from './confined-worker.ts';
import type { FromWorker, WorkerHandle } from './protocol.ts';

/** Starts the hearing worker in a browser. Its model is an absolute web address. */
export function spawnWebWorker(): WorkerHandle {
  const worker = confinedWorker(workerUrl, 'hearing');
  return {
    post: (message) => worker.postMessage(message),
    onMessage(take) {
      worker.onmessage = (event: MessageEvent<FromWorker>) => take(event.data);
    },
    onDeath(take) {
      worker.onerror = (event) => {
        event.preventDefault();
        take(event.message === '' ? 'its script could not be loaded' : event.message);
      };
    },
    terminate: () => worker.terminate(),
  };
}
