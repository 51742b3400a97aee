import { bad, good, type Outcome } from '../units/outcome.ts';
import { LOG_NAME, type Clips } from './export.ts';
import type { LogFile } from './log.ts';
import { readLog } from './read-log.ts';
import { zipBudget, zipEntries, type ZipBudget, type ZipEntry } from './unzip.ts';

/** A log found in a file. */
export interface FoundLog {
  /** The file, and the place in it. */
  readonly where: string;
  readonly log: LogFile;
  readonly clips: Clips;
}

/** One thing found in a file, and how much of the file has been worked through, from 0 to 1. */
export interface Found {
  readonly found: Outcome<FoundLog>;
  readonly done: number;
}

/** A log alone in a file: larger ones are not read. A log of an hour is below 1 MB. */
const MAX_LOG_BYTES = 16 * 2 ** 20;
const CLIP = /^clips\/(\d{4,6})\.wav$/;
const UTF8 = new TextDecoder();

/**
 * The logs in an exported file: a log as JSON, the zip of one check, or a zip of such zips. Nothing is trusted: see `ZIP_LIMITS`.
 * Files that are no logs are ignored. `breathe` is awaited between pieces of work, and may reject to stop.
 */
export async function* findLogs(file: Blob, name: string, breathe: () => Promise<void>): AsyncGenerator<Found> {
  const start = UTF8.decode(await file.slice(0, 2).arrayBuffer());
  if (start === 'PK') yield* inZip(file, name, zipBudget(), breathe, 0);
  else if (file.size > MAX_LOG_BYTES) yield { found: bad('The file is larger than any log.', name), done: 1 };
  else yield { found: alone(await file.text(), name), done: 1 };
}

function alone(text: string, name: string): Outcome<FoundLog> {
  const log = readLog(text, name);
  return log.ok ? good({ where: name, log: log.value, clips: new Map() }) : log;
}

async function* inZip(
  zip: Blob,
  where: string,
  budget: ZipBudget,
  breathe: () => Promise<void>,
  depth: 0 | 1,
): AsyncGenerator<Found> {
  const listed = await zipEntries(zip, where, budget);
  if (!listed.ok) {
    yield { found: listed, done: 1 };
    return;
  }
  const entries = listed.value;
  const holders = entries.filter(({ name }) => isLog(name) || name.endsWith('.zip'));
  if (holders.length === 0) {
    yield { found: bad('There is no log in this zip.', where, 'Choose a zip that was exported here.'), done: 1 };
  }
  for (const [at, entry] of holders.entries()) {
    await breathe();
    const place = `${where}, ${entry.name}`;
    const done = (at + 1) / holders.length;
    if (isLog(entry.name)) yield { found: await withClips(entry, entries, place, breathe), done };
    else if (depth === 1)
      yield { found: bad('There is a zip within a zip within the zip.', place, 'Import the inner files.'), done };
    else {
      const inner = await entry.bytes(breathe);
      if (!inner.ok) yield { found: inner, done };
      else {
        for await (const { found } of inZip(new Blob([inner.value]), place, budget, breathe, 1)) yield { found, done };
      }
    }
  }
}

function isLog(name: string): boolean {
  return name === LOG_NAME || name.endsWith(`/${LOG_NAME}`);
}

/** The log, with the clips in the folder beside it. */
async function withClips(
  entry: ZipEntry,
  all: readonly ZipEntry[],
  where: string,
  breathe: () => Promise<void>,
): Promise<Outcome<FoundLog>> {
  if (entry.size > MAX_LOG_BYTES) return bad('The file is larger than any log.', where);
  const bytes = await entry.bytes(breathe);
  if (!bytes.ok) return bytes;
  const log = readLog(UTF8.decode(bytes.value), where);
  if (!log.ok) return log;
  const folder = entry.name.slice(0, -LOG_NAME.length);
  const clips = new Map<number, Uint8Array<ArrayBuffer>>();
  for (const each of all) {
    const place = each.name.startsWith(folder) ? CLIP.exec(each.name.slice(folder.length))?.[1] : undefined;
    if (place === undefined) continue;
    const sound = await each.bytes(breathe);
    if (!sound.ok) return sound;
    clips.set(Number(place), sound.value);
  }
  return good({ where, log: log.value, clips });
}
