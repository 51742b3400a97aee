import { Worker } from 'node:worker_threads';
import type { FromWorker, WorkerHandle } from './protocol.ts';

/** Starts the hearing worker in Node. Its model is a folder. */
export function spawnNodeWorker(): WorkerHandle {
  const worker = new Worker(new URL('./node-worker-boot.mjs', import.meta.url), { execArgv: [] });
  return {
    post: (message) => worker.postMessage(message),
    onMessage: (take) => void worker.on('message', (message: FromWorker) => take(message)),
    onDeath(take) {
      worker.on('error', (error) => take(error.message));
      worker.on('exit', (code) => take(`it ended with code ${code}`));
    },
    terminate: () => void worker.terminate(),
  };
}
