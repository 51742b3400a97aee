import { Worker } from 'node:worker_threads';
import type { FromWorker, WorkerHandle } from './hearing-messages.ts';
import { typescriptThread } from './typescript-thread.ts';

/** Starts the hearing worker in Node. Its model is a folder. */
export function spawnNodeWorker(): WorkerHandle {
  const worker = new Worker(typescriptThread(new URL('./embedded-node-worker.ts', import.meta.url)), {
    eval: true,
    execArgv: [],
  });
  return {
    post: (message) => worker.postMessage(message),
    onMessage: (take) => void worker.on('message', (message: FromWorker) => take(message)),
    onDeath(take) {
      worker.on('error', (error: unknown) => take(error instanceof Error ? error.message : String(error)));
      worker.on('exit', (code) => take(`it ended with code ${code}`));
    },
    terminate: () => void worker.terminate(),
  };
}
