import type { ModelStore } from './model-store.ts';

/** A model folder served beside the app. `base` is absolute, with or without a slash at its end. */
export function webModelStore(base: string): ModelStore {
  const folder = base.endsWith('/') ? base : `${base}/`;
  const addresses: string[] = [];
  return {
    where: folder,
    async read(name, onBytes) {
      let response: Response;
      try {
        response = await fetch(folder + name);
      } catch {
        throw new Error(
          `The speech model could not be fetched from ${folder + name}. Is the device online for the first visit?`,
        );
      }
      // A server with a fallback page answers a missing file with HTML and status 200.
      const html = response.headers.get('content-type')?.startsWith('text/html') === true;
      if (response.status === 404 || html) return undefined;
      if (!response.ok || response.body === null) {
        throw new Error(`The server answered ${response.status} for the speech model file ${folder + name}.`);
      }
      return collect(response.body, onBytes);
    },
    address(_name, bytes) {
      const address = URL.createObjectURL(new Blob([bytes]));
      addresses.push(address);
      return address;
    },
    release() {
      for (const address of addresses.splice(0)) URL.revokeObjectURL(address);
    },
  };
}

async function collect(
  body: ReadableStream<Uint8Array<ArrayBuffer>>,
  onBytes: (bytes: number) => void,
): Promise<Uint8Array<ArrayBuffer>> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  const reader = body.getReader();
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    parts.push(part.value);
    onBytes(part.value.length);
  }
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}
