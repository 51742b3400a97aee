import { link, open, readdir, readFile, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { bad, good, type Outcome } from '../../units/outcome.ts';

const POLL_MS = 50;

/** A lock that is held; a program that is killed leaves it, and the next one sees that nobody holds it any more. */
export interface Held {
  release(): Promise<void>;
}

/**
 * Keeps two programs of this machine apart from one file or folder, by a file `.NAME.lock` beside it that names the process. Waits
 * up to `patience` ms for another to finish. Rejects with the system's error when nothing can be written there.
 */
export async function lock(path: string, patience = 0): Promise<Outcome<Held>> {
  const file = join(dirname(path), `.${basename(path)}.lock`);
  for (let waited = 0; ; waited += POLL_MS) {
    if (await taken(file)) {
      await sweep(file);
      return good({ release: () => rm(file, { force: true }) });
    }
    const holder = Number.parseInt(await readFile(file, 'utf8').catch(() => ''), 10);
    if (!isAlive(holder)) await clear(file);
    else if (waited >= patience) {
      const repair = `Wait until it has ended; if no program of that number writes there, remove ${file}.`;
      return bad(`another program (process ${holder}) writes there.`, path, repair);
    }
    await new Promise((go) => setTimeout(go, POLL_MS));
  }
}

/** True when the lock is this program's now. It appears with its content, or not at all. */
async function taken(file: string): Promise<boolean> {
  const beside = `${file}-${process.pid}`;
  await rm(beside, { force: true });
  const handle = await open(beside, 'wx');
  try {
    await handle.writeFile(`${process.pid}\n`);
    await handle.close();
    await link(beside, file);
    return true;
  } catch (error) {
    await handle.close().catch(() => undefined);
    const code = error instanceof Error && 'code' in error ? error.code : undefined;
    if (code === 'EEXIST') return false;
    // A disk without links (a memory stick).
    if (code === 'EPERM' || code === 'ENOTSUP' || code === 'ENOSYS') return await madeAlone(file);
    throw error;
  } finally {
    await rm(beside, { force: true });
  }
}

async function madeAlone(file: string): Promise<boolean> {
  const handle = await open(file, 'wx').catch((error: unknown) => {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') return undefined;
    throw error;
  });
  await handle?.writeFile(`${process.pid}\n`);
  await handle?.close();
  return handle !== undefined;
}

/** True when there is a process of this number. */
export function isAlive(pid: number): boolean {
  if (!(pid > 0)) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Another user's process is alive, too.
    return error instanceof Error && 'code' in error && error.code === 'EPERM';
  }
}

/** Removes what programs left that were killed while they took the lock. */
async function sweep(file: string): Promise<void> {
  const prefix = `${basename(file)}-`;
  for (const name of await readdir(dirname(file)))
    if (name.startsWith(prefix) && !isAlive(Number(name.slice(prefix.length))))
      await rm(join(dirname(file), name), { force: true });
}

/** Moved away first: of two programs that find it left, only one has it. */
async function clear(file: string): Promise<void> {
  const aside = `${file}-${process.pid}`;
  await rename(file, aside).catch(() => undefined);
  await rm(aside, { force: true });
}
