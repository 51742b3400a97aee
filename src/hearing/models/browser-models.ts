import type { Grammar } from '../../grammar/syntax.ts';
import { bad, problemLine } from '../../units/outcome.ts';
import { archiveOf, openModelLibrary } from './library.ts';
import type { ModelLibrary } from './library.ts';
import { neededWords } from './inspect.ts';
import { memoryShelf } from './shelf.ts';
import type { Shelf } from './shelf.ts';

const CACHE = 'two-needles-models';

/** The models kept by this browser, for offline use; only until the page closes where it lets pages keep nothing. */
export async function openBrowserModels(grammar: Grammar): Promise<ModelLibrary> {
  const host = { fetch: fetch.bind(globalThis), freeSpace, newId: () => crypto.randomUUID() };
  return openModelLibrary((await cacheShelf()) ?? memoryShelf(), host, neededWords(grammar));
}

/** The archive of a listed model, also from within a worker. Rejects with one plain sentence when it is not there. */
export async function storedArchive(id: string): Promise<Blob> {
  const shelf = await cacheShelf();
  const archive = shelf === undefined ? bad('This browser keeps no models.') : await archiveOf(shelf, id);
  if (!archive.ok) throw new Error(problemLine(archive.problem));
  return archive.value.archive;
}

/** A shelf in Cache Storage, where there is one: it keeps large blobs on disk, and each `put` is all or nothing. */
async function cacheShelf(): Promise<Shelf | undefined> {
  // Absent without a secure context, and refused in some private modes.
  const cache = 'caches' in globalThis ? await caches.open(CACHE).catch(() => undefined) : undefined;
  if (cache === undefined) return undefined;
  const address = (key: string): string => new URL(key, 'https://two-needles.invalid/').href;
  return {
    put: (key, bytes) => cache.put(address(key), new Response(bytes)),
    get: async (key) => (await cache.match(address(key)))?.blob(),
    keys: async () => (await cache.keys()).map(({ url }) => new URL(url).pathname.slice(1)),
    remove: async (key) => {
      await cache.delete(address(key));
    },
  };
}

/** Bytes that this browser still lets the page store, where it tells. */
export async function freeSpace(): Promise<number | undefined> {
  const { quota, usage } = await navigator.storage.estimate();
  return quota === undefined ? undefined : Math.max(0, quota - (usage ?? 0));
}
