import { access, constants, lstat, mkdir, rmdir, stat } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { plainError } from './plain-error.ts';

/**
 * Looks whether a command can write into a folder, before its long work; one that is not there is tried out and not left. Folders
 * are made one by one: making them all in one call never ends in some that the system keeps itself.
 */
export async function usableFolder(named: string): Promise<Outcome<void>> {
  const made: string[] = [];
  try {
    const path = resolve(named);
    const missing: string[] = [];
    for (let at = path; (await factsOf(at)) === undefined && at !== dirname(at); at = dirname(at)) missing.push(at);
    const above = missing.at(-1);
    if (!(await stat(above === undefined ? path : dirname(above))).isDirectory())
      return bad('this is not a folder.', named, 'Name a folder.');
    for (const each of missing.toReversed()) {
      await mkdir(each);
      made.push(each);
    }
    await access(path, constants.W_OK);
    return good(undefined);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : undefined;
    return bad(plainError(Object.assign(new Error('it cannot be used.'), { code })), named, 'Name another folder.');
  } finally {
    for (const each of made.toReversed()) await rmdir(each).catch(() => undefined);
  }
}

async function factsOf(path: string): Promise<object | undefined> {
  return lstat(path).catch((error: unknown) => {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return undefined;
    throw error;
  });
}
