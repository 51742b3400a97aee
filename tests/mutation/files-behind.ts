import { readFile } from 'node:fs/promises';
import { dirname, join, relative } from 'node:path';

/** Every TypeScript file that a source names: what it imports, and what it has a thread or a program of its own run. */
const NAMED = /['"`]([^'"`\s]+\.ts)['"`]/g;

/** Tells of a file, by its path from `root`, what it names and what that names in turn, itself included. */
export function createFilesBehind(root: string): (file: string) => Promise<ReadonlySet<string>> {
  const named = new Map<string, Promise<readonly string[]>>();
  const read = async (file: string): Promise<readonly string[]> => {
    const text = await readFile(join(root, file), 'utf8').catch(() => '');
    // Beside the file that names it, as imports are, or from the root, as programs are.
    return [...text.matchAll(NAMED)].flatMap(([, name = '']) => [
      relative(root, join(root, dirname(file), name)),
      relative(root, join(root, name)),
    ]);
  };
  return async (file) => {
    const behind = new Set([file]);
    for (const each of behind) {
      const names = named.get(each) ?? read(each);
      named.set(each, names);
      for (const name of await names) behind.add(name);
    }
    return behind;
  };
}
