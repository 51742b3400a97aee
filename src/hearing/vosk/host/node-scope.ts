import { readFile } from 'node:fs/promises';
import { parentPort } from 'node:worker_threads';

/*
 * Gives a Node worker thread the globals of a browser's worker that the engine's script uses: `self`, its messages, `location`,
 * `close`, and `fetch` of a file.
 */
const port = parentPort;
if (port === null) throw new Error('node-scope.ts runs only in a worker thread.');

const inbox = new EventTarget();
port.on('message', (data: unknown) => inbox.dispatchEvent(new MessageEvent('message', { data })));

const fetchFromNetwork = globalThis.fetch;

Object.assign(globalThis, {
  self: globalThis,
  location: { href: import.meta.url },
  addEventListener: inbox.addEventListener.bind(inbox),
  postMessage: (message: unknown) => port.postMessage(message),
  close: () => port.close(),
  fetch: async (input: RequestInfo | URL, init?: RequestInit): Promise<Response> => {
    if (typeof input !== 'string' || !input.startsWith('file:')) return fetchFromNetwork(input, init);
    return new Response(await readFile(new URL(input)), { headers: { 'content-type': 'application/wasm' } });
  },
});
