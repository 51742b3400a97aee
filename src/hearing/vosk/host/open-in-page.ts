import wasmUrl from 'vosk-browser/dist/vosk.wasm?url';
import { confinedWorker } from '../../worker/confined-worker.ts';
import type { FromWorker, OpenVoskWorker } from '../engine-messages.ts';
import workerUrl from './page-worker.ts?worker&url';

/** Runs the engine in a browser's worker; its script and wasm (1.2 MB compressed) are fetched when this is first called. */
export const openVoskWorker: OpenVoskWorker = (hooks) => {
  const worker = confinedWorker(workerUrl, 'vosk');
  worker.addEventListener('message', (event: MessageEvent<FromWorker>) => hooks.message(event.data));
  worker.addEventListener('error', (event) => hooks.death(event.message || 'it could not be started'));
  return {
    wasmUrl: new URL(wasmUrl, location.href).href,
    post: (message, transfer = []) => worker.postMessage(message, transfer),
    terminate: () => worker.terminate(),
  };
};
