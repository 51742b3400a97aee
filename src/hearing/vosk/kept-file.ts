const CACHE = 'two-needles-vosk';

/**
 * The engine's wasm file, from this browser's own cache once it was fetched: the app's offline copy leaves it out, so that only
 * those who use this engine download it. File names carry a hash of their content; an older one is dropped.
 */
export async function keptFile(url: string, fetchFromNetwork: typeof fetch): Promise<Response> {
  const cache = 'caches' in globalThis ? await caches.open(CACHE).catch(() => undefined) : undefined;
  const kept = await cache?.match(url);
  if (kept !== undefined) return kept;
  const response = await fetchFromNetwork(url);
  if (cache === undefined || !response.ok) return response;
  try {
    for (const old of await cache.keys()) await cache.delete(old);
    await cache.put(url, response.clone());
  } catch {
    // A full disk: the engine works all the same, but needs the network next time.
  }
  return response;
}
