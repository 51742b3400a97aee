import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { Transferable as NodeTransferable } from 'node:worker_threads';
import type { FromWorker, OpenVoskWorker } from '../engine-messages.ts';

/** Runs the same engine files in a Node worker thread: no native build. */
export const openVoskWorker: OpenVoskWorker = (hooks) => {
  const worker = new Worker(bootstrap(), { eval: true });
  worker.on('message', (message: FromWorker) => hooks.message(message));
  worker.on('error', (error: unknown) => hooks.death(error instanceof Error ? error.message : String(error)));
  worker.on('exit', (code) => hooks.death(`it ended with status ${code}`));
  return {
    wasmUrl: pathToFileURL(createRequire(import.meta.url).resolve('vosk-browser/dist/vosk.wasm')).href,
    post: (message, transfer = []) => worker.postMessage(message, transfer as NodeTransferable[]),
    terminate: () => void worker.terminate(),
  };
};

/** A worker thread does not inherit the reader of TypeScript that its parent runs under, so it registers one itself. */
function bootstrap(): string {
  const reader = JSON.stringify(import.meta.resolve('tsx/esm/api'));
  const entry = JSON.stringify(new URL('./node-thread.ts', import.meta.url).href);
  return `import(${reader}).then(({ register }) => { register(); return import(${entry}); });`;
}
