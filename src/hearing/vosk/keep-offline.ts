import wasmUrl from 'vosk-browser/dist/vosk.wasm?url';
import { keptFile } from './kept-file.ts';

/** Fetches the engine's wasm file (1.2 MB compressed) unless this browser has it, so that the engine also starts offline. */
export async function keepVoskOffline(): Promise<void> {
  const { ok, status } = await keptFile(new URL(wasmUrl, document.baseURI).href, fetch);
  if (!ok) throw new Error(`The server answered ${status}.`);
}
