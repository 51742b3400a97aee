import { keepNothing } from './keep-nothing.ts';
import { faster } from '../multiply/faster.ts';
import { ARCHIVE_URL, isArchiveMessage, isPingMessage } from '../engine-messages.ts';

/*
 * Runs in the worker before the engine's own script. It answers the engine's request for the model with the archive that the
 * page handed over, so that models come from our own store (or a file) and not from the network, and it takes away the engine's
 * own cache: that would keep a second, unpacked copy of every model, keyed by address, never checked, and a broken archive
 * would stay in it for good. The engine's wasm it gets with a quicker multiplication.
 */
let archive: Blob | undefined;

// The engine lists every file it unpacks, even at its quietest; what matters comes as messages.
const mute = (): void => undefined;
Object.assign(console, { log: mute, warn: mute, error: mute });

self.addEventListener('message', (event: MessageEvent<unknown>) => {
  const message = event.data;
  if (isArchiveMessage(message)) archive = message.archive;
  else if (isPingMessage(message)) self.postMessage({ event: 'alive' });
  else return;
  event.stopImmediatePropagation();
});

const fetchFromNetwork = self.fetch.bind(self);

self.fetch = (input, init) => {
  if (typeof input === 'string' && new URL(input).pathname.endsWith('.wasm'))
    return fetchFromNetwork(input, init).then(withFaster);
  if (archive === undefined || input !== ARCHIVE_URL) return fetchFromNetwork(input, init);
  const total = archive.size;
  let read = 0;
  const counter = new TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>({
    transform(chunk, controller) {
      read += chunk.length;
      self.postMessage({ event: 'archive', read, total });
      controller.enqueue(chunk);
    },
  });
  const body = archive.stream().pipeThrough(counter);
  archive = undefined;
  return Promise.resolve(new Response(body));
};

/** The engine's wasm, made faster where that is possible. */
async function withFaster(response: Response): Promise<Response> {
  if (!response.ok) return response;
  const wasm = new Uint8Array(await response.arrayBuffer());
  return new Response(faster(wasm) ?? wasm, { headers: { 'content-type': 'application/wasm' } });
}

Object.defineProperty(self, 'indexedDB', { value: keepNothing(), configurable: true });
