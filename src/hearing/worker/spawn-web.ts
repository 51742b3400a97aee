import { confinedWorker } from './confined-worker.ts';
import embeddedUrl from './embedded-web-worker.ts?worker&url';
import type { FromWorker, WorkerHandle } from './hearing-messages.ts';
import voskUrl from './vosk-web-worker.ts?worker&url';

/** Starts the hearing worker with the embedded engine in a browser. Its model is an absolute web address. */
export function spawnEmbeddedWorker(): WorkerHandle {
  return handleOf(confinedWorker(embeddedUrl, 'hearing (embedded)'));
}

/** Starts the hearing worker with the vosk engine in a browser. Its `model` is the id of a model in the library, or the address of the app's own. */
export function spawnVoskWorker(): WorkerHandle {
  return handleOf(confinedWorker(voskUrl, 'hearing (vosk)'));
}

function handleOf(worker: Worker): WorkerHandle {
  return {
    post: (message) => worker.postMessage(message),
    onMessage: (take) => worker.addEventListener('message', (event: MessageEvent<FromWorker>) => take(event.data)),
    onDeath(take) {
      worker.addEventListener('error', (event) => {
        event.preventDefault();
        take(event.message || 'its script could not be loaded');
      });
    },
    terminate: () => worker.terminate(),
  };
}
