import { lstat, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Contents } from '../../record/contents.ts';
import { LOG_NAME } from '../../record/export-names.ts';
import { logBeside, type FoundLog } from '../../record/find-logs.ts';
import { good, type Outcome } from '../../units/outcome.ts';
import { readBytes } from '../shared/read-inputs.ts';

const CLIPS: readonly string[] = ['clips', 'photos'];

export async function isFolder(path: string): Promise<boolean> {
  const facts = await lstat(path).catch(() => undefined);
  return facts?.isDirectory() === true;
}

/** The log in a folder, with everything beside it. */
export async function logOfFolder(folder: string): Promise<Outcome<FoundLog>> {
  const where = join(folder, LOG_NAME);
  const log = await readBytes(where);
  if (!log.ok) return log;
  const names = (await readdir(folder)).filter((name) => name !== LOG_NAME && !CLIPS.includes(name));
  const inside = async (each: string): Promise<string[]> =>
    (await readdir(join(folder, each)).catch(() => [])).map((name) => `${each}/${name}`);
  const clips = (await Promise.all(CLIPS.map(inside))).flat();
  const contents = (name: string): Contents => {
    return async () => {
      const bytes = await readBytes(join(folder, name));
      return bytes.ok ? good(new Uint8Array(bytes.value)) : bytes;
    };
  };
  return logBeside(
    new Uint8Array(log.value),
    where,
    new Map([...names, ...clips].map((name) => [name, contents(name)] as const)),
  );
}
