import type { EmbeddedSources } from './embedded-speaker.ts';
import type { FliteReply, FliteRequest } from './flite-worker.ts';
import type { Speech } from './flite.ts';
import { readVoicePack, VOICE_FILES, type VoicePack } from './voice-pack.ts';

/**
 * The embedded voice's sources in a browser: the clip pack over the network (or from the offline cache), and a worker
 * that loads the 21 MB synthesiser only when a phrase is in no clip. `base` is the address of the folder `voice/`,
 * `spawn` starts that worker.
 */
export function browserVoiceSources(base: URL, spawn: () => Worker): EmbeddedSources {
  let live: ((phrase: string) => Promise<Speech | undefined>) | undefined;
  return {
    loadPack: () => fetchPack(base, VOICE_FILES),
    synthesise(phrase) {
      live ??= startWorker(new URL(VOICE_FILES.synthesiser, base), spawn());
      return live(phrase);
    },
  };
}

/** Clips over the network, or from the offline cache; undefined when they are missing. */
export async function fetchPack(base: URL, files: { index: string; clips: string }): Promise<VoicePack | undefined> {
  try {
    const [index, clips] = await Promise.all([fetch(new URL(files.index, base)), fetch(new URL(files.clips, base))]);
    if (!index.ok || !clips.ok) return undefined;
    const pack = readVoicePack(await index.json(), new Uint8Array(await clips.arrayBuffer()));
    return pack.ok ? pack.value : undefined;
  } catch {
    return undefined;
  }
}

function startWorker(wasm: URL, worker: Worker): (phrase: string) => Promise<Speech | undefined> {
  const pending = new Map<number, (speech: Speech | undefined) => void>();
  let nextId = 1;
  let dead = false;
  worker.onmessage = (event: MessageEvent<FliteReply>) => {
    pending.get(event.data.id)?.(event.data.speech);
    pending.delete(event.data.id);
  };
  worker.onerror = () => {
    dead = true;
    for (const resolve of pending.values()) resolve(undefined);
    pending.clear();
  };
  return (phrase) => {
    if (dead) return Promise.resolve(undefined);
    return new Promise((resolve) => {
      const request: FliteRequest = { id: nextId, phrase, wasm: wasm.href };
      pending.set(nextId, resolve);
      nextId += 1;
      worker.postMessage(request);
    });
  };
}
