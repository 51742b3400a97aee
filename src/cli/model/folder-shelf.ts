import { mkdir, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { dirname, join, relative, sep } from 'node:path';
import type { Shelf } from '../../hearing/models/shelf.ts';

const UNFINISHED = '.writing';

/** A shelf in a folder: each piece is a file, written aside and then renamed, so that it is there whole or not at all. */
export function folderShelf(folder: string): Shelf {
  const path = (key: string): string => join(folder, ...key.split('/'));
  return {
    async put(key, bytes) {
      const target = path(key);
      await mkdir(dirname(target), { recursive: true });
      const aside = `${target}${UNFINISHED}`;
      try {
        await writeFile(aside, Buffer.from(await bytes.arrayBuffer()));
        await rename(aside, target);
      } catch (error) {
        await rm(aside, { force: true });
        throw error;
      }
    },
    async get(key) {
      const bytes = await readFile(path(key)).catch(() => undefined);
      return bytes === undefined ? undefined : new Blob([bytes]);
    },
    async keys() {
      const entries = await readdir(folder, { recursive: true, withFileTypes: true }).catch(() => []);
      return entries
        .filter((entry) => entry.isFile() && !entry.name.endsWith(UNFINISHED))
        .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'));
    },
    remove: (key) => rm(path(key), { force: true }),
  };
}
