import wasmUrl from 'vosk-browser/dist/vosk.wasm?url';
import type { FromWorker, OpenVoskWorker } from './protocol.ts';

/** Runs the engine in a browser's worker; its script and wasm (1.2 MB compressed) are fetched when this is first called. */
export const openVoskWorker: OpenVoskWorker = (hooks) => {
  const worker = new Worker(new URL('./worker.ts', import.meta.url), { type: 'module', name: 'vosk' });
  worker.addEventListener('message', (event: MessageEvent<FromWorker>) => hooks.message(event.data));
  worker.addEventListener('error', (event) => hooks.death(event.message || 'it could not be started'));
  return {
    wasmUrl: new URL(wasmUrl, location.href).href,
    post: (message, transfer = []) => worker.postMessage(message, transfer),
    terminate: () => worker.terminate(),
  };
};
