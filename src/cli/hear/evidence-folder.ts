import { lstat, mkdir, open, readdir, rename, rm, rmdir } from 'node:fs/promises';
import { basename, dirname, join, resolve, sep } from 'node:path';
import type { ExportFiles } from '../../record/export.ts';
import { LOG_NAME } from '../../record/export-names.ts';
import { MANIFEST_NAME } from '../../record/manifest.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { isAlive, lock } from './lock.ts';
import { plainError } from '../shared/plain-error.ts';

/** What an export has in its folder; nothing else is ever replaced. */
const OURS: ReadonlySet<string> = new Set([
  LOG_NAME,
  MANIFEST_NAME,
  'transcript.vtt',
  'figures.csv',
  'report.html',
  'clips',
]);

/** A folder into which the evidence of one check may be put, locked against other programs until it is released. */
export interface EvidenceFolder {
  /** Puts all files there or none, with everything on the disk before the folder appears. */
  write(files: ExportFiles): Promise<Outcome<void>>;
  release(): Promise<void>;
}

/**
 * Looks whether the evidence of a check may be put into a folder, before the long work: it must not be there, or be empty, or, with
 * `force`, hold evidence and nothing else. A link is not followed. What a killed program has left beside it is put right.
 */
export async function openEvidence(folder: string, force: boolean): Promise<Outcome<EvidenceFolder>> {
  if (folder === '') return bad('the name of the folder is empty.', '--out');
  const path = resolve(folder);
  const parent = dirname(path);
  if (`${process.cwd()}${sep}`.startsWith(path.endsWith(sep) ? path : `${path}${sep}`))
    return bad('the folder that a program runs in cannot be replaced.', folder, 'Name a new folder in it.');
  const made: string[] = [];
  try {
    made.push(...(await makeFolders(parent)));
    const held = await lock(path);
    if (!held.ok) return held;
    const release = async (): Promise<void> => {
      await held.value.release();
      for (const each of made.toReversed()) await rmdir(each).catch(() => undefined);
    };
    try {
      await putRight(path);
      const may = await mayWrite(path, folder, force);
      if (may.ok) return good({ write: (files) => write(path, folder, files), release });
      await release();
      return may;
    } catch (error) {
      await release();
      throw error;
    }
  } catch (error) {
    for (const each of made.toReversed()) await rmdir(each).catch(() => undefined);
    return bad(told(error), folder, 'The evidence cannot be put there.');
  }
}

/** The system's word without its path, which is ours and often one of a file beside. */
function told(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  return plainError(Object.assign(new Error(error instanceof Error ? error.message : String(error)), { code }));
}

/** Makes a folder and those above it, one by one; gives those that were made. */
async function makeFolders(path: string): Promise<string[]> {
  const facts = await lstat(path).catch(() => undefined);
  if (facts !== undefined || path === dirname(path)) return [];
  const above = await makeFolders(dirname(path));
  try {
    await mkdir(path);
  } catch (error) {
    for (const each of above.toReversed()) await rmdir(each).catch(() => undefined);
    throw error;
  }
  return [...above, path];
}

async function mayWrite(path: string, named: string, force: boolean): Promise<Outcome<void>> {
  const facts = await lstat(path).catch((error: unknown) => {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return undefined;
    throw error;
  });
  if (facts === undefined) return good(undefined);
  if (facts.isSymbolicLink()) return bad('this is a link, which is not followed.', named, 'Name a folder.');
  if (!facts.isDirectory()) return bad('this is not a folder.', named, 'Name a new folder.');
  const names = await readdir(path);
  if (names.length === 0) return good(undefined);
  const foreign = names.find((name) => !OURS.has(name));
  if (foreign !== undefined || !names.includes(LOG_NAME))
    return bad(`the folder holds other things (${foreign ?? names[0] ?? ''}).`, named, 'Name a new folder.');
  return force
    ? good(undefined)
    : bad('the evidence of another check is there.', named, 'Name a new folder, or replace it with --force.');
}

const writingAt = (path: string, pid: number | ''): string => join(dirname(path), `.${basename(path)}.writing-${pid}`);
const asideOf = (path: string): string => join(dirname(path), `.${basename(path)}.replaced`);

/** Evidence that was being replaced when a program was killed is put back; what it was still writing is removed. */
async function putRight(path: string): Promise<void> {
  const there = await lstat(path).catch(() => undefined);
  if (there === undefined) await rename(asideOf(path), path).catch(() => undefined);
  else await rm(asideOf(path), { recursive: true, force: true });
  const prefix = basename(writingAt(path, ''));
  for (const name of await readdir(dirname(path))) {
    if (name.startsWith(prefix) && !isAlive(Number(name.slice(prefix.length))))
      await rm(join(dirname(path), name), { recursive: true, force: true });
  }
}

async function write(path: string, named: string, files: ExportFiles): Promise<Outcome<void>> {
  const beside = writingAt(path, process.pid);
  try {
    await rm(beside, { recursive: true, force: true });
    await mkdir(beside);
    for (const [name, bytes] of files) await writeWhole(join(beside, name), bytes);
    await flush(beside);
    await putInPlace(beside, path);
    await flush(dirname(path));
    return good(undefined);
  } catch (error) {
    await rm(beside, { recursive: true, force: true }).catch(() => undefined);
    return bad(`the evidence is not kept: ${told(error)}`, named);
  }
}

async function writeWhole(path: string, bytes: Uint8Array): Promise<void> {
  // Never over, or through, anything that is there.
  const handle = await open(path, 'wx');
  try {
    await handle.writeFile(bytes);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** A folder's entries, on disks where that can be asked for. */
async function flush(folder: string): Promise<void> {
  const handle = await open(folder, 'r').catch(() => undefined);
  await handle?.sync().catch(() => undefined);
  await handle?.close();
}

/** The renames succeed only where nothing, or an empty folder, is in the way: what another program has put there stays. */
async function putInPlace(beside: string, path: string): Promise<void> {
  const names = await readdir(path).catch(() => []);
  if (names.length === 0) {
    await rmdir(path).catch(() => undefined);
    await rename(beside, path);
    return;
  }
  await rename(path, asideOf(path));
  await rename(beside, path);
  await rm(asideOf(path), { recursive: true, force: true });
}
