import { Worker } from 'node:worker_threads';
import type { FromWorker, WorkerHandle } from './hearing-messages.ts';

/** Starts the hearing worker in Node. Its model is a folder. */
export function spawnNodeWorker(): WorkerHandle {
  const worker = new Worker(bootstrap(), { eval: true, execArgv: [] });
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

/** A worker thread does not inherit the reader of TypeScript that its parent runs under, so it registers one itself. */
function bootstrap(): string {
  const reader = JSON.stringify(import.meta.resolve('tsx/esm/api'));
  const entry = JSON.stringify(new URL('./embedded-node-worker.ts', import.meta.url).href);
  return `import(${reader}).then(({ register }) => { register(); return import(${entry}); });`;
}
