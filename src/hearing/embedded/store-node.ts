import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ModelStore } from './model-store.ts';

/** A model folder on the disk. */
export function folderModelStore(folder: string): ModelStore {
  return {
    where: folder,
    async read(name, onBytes) {
      try {
        const bytes = new Uint8Array(await readFile(join(folder, name)));
        onBytes(bytes.length);
        return bytes;
      } catch (error) {
        if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return undefined;
        throw error;
      }
    },
    address: (name) => join(folder, name),
    release: () => {},
  };
}
