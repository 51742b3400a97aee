import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { Transferable as NodeTransferable } from 'node:worker_threads';
import type { FromWorker, OpenVoskWorker } from '../engine-messages.ts';
import { typescriptThread } from '../../worker/typescript-thread.ts';

/** Runs the same engine files in a Node worker thread: no native build. */
export const openVoskWorker: OpenVoskWorker = (hooks) => {
  const worker = new Worker(typescriptThread(new URL('./node-thread.ts', import.meta.url)), { eval: true });
  worker.on('message', (message: FromWorker) => hooks.message(message));
  worker.on('error', (error: unknown) => hooks.death(error instanceof Error ? error.message : String(error)));
  worker.on('exit', (code) => hooks.death(`it ended with status ${code}`));
  return {
    wasmUrl: pathToFileURL(createRequire(import.meta.url).resolve('vosk-browser/dist/vosk.wasm')).href,
    post: (message, transfer = []) => worker.postMessage(message, transfer as NodeTransferable[]),
    terminate: () => void worker.terminate(),
  };
};
