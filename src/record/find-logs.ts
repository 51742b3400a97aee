import { bad, good, type Outcome } from '../units/outcome.ts';
import type { Clips, Contents, Files, Source } from './contents.ts';
import { clipName, LOG_NAME, placeOfClip } from './export-names.ts';
import type { LogFile } from './log.ts';
import { readLog } from './read-log.ts';
import { zipBudget, zipEntries, type ZipBudget, type ZipEntry } from './unzip.ts';

/** A log found in a file. Clips and files are read when they are asked for. */
export interface FoundLog {
  /** The file, and the place in it. */
  readonly where: string;
  readonly log: LogFile;
  readonly clips: Clips;
  /** What else is beside the log, by name. */
  readonly files: Files;
}

/** One thing found in a file, and how much of the file has been worked through, from 0 to 1. */
export interface Found {
  readonly found: Outcome<FoundLog>;
  readonly done: number;
  /** Place, among the logs and zips of the file, of the one that it was found in. */
  readonly at: number;
}

/** Of the logs and zips in a file, every `of`th, beginning with `nth`: for several threads that read it together. */
export interface Share {
  readonly nth: number;
  readonly of: number;
}

const ALL: Share = { nth: 0, of: 1 };

/** A log alone in a file: larger ones are not read. A log of an hour is below 1 MB. */
const MAX_LOG_BYTES = 16 * 2 ** 20;
/** What systems put into folders by themselves. */
const SYSTEM_FILE = /(^|\/)(\.[^/]*|__MACOSX\/.*|Thumbs\.db|desktop\.ini)$/;

/**
 * The logs in an exported file: a log as JSON, the zip of one check, or a zip of such zips. Nothing is trusted: see `ZIP_LIMITS`.
 * Files that are no logs are ignored. `breathe` is awaited between pieces of work, and may reject to stop.
 */
export async function* findLogs(
  file: Source,
  name: string,
  breathe: () => Promise<void>,
  share: Share = ALL,
): AsyncGenerator<Found> {
  const start = new TextDecoder().decode(await file.slice(0, 2).arrayBuffer());
  if (start === 'PK') yield* inZip(file, name, zipBudget(file), breathe, share);
  else if (share.nth > 0) return;
  else if (file.size > MAX_LOG_BYTES) yield { found: bad('The file is larger than any log.', name), done: 1, at: 0 };
  else yield { found: alone(await file.arrayBuffer(), name), done: 1, at: 0 };
}

function alone(bytes: ArrayBuffer, name: string): Outcome<FoundLog> {
  const log = logOfBytes(bytes, name);
  return log.ok ? good({ where: name, log: log.value, clips: new Map(), files: new Map() }) : log;
}

/** A log with what is beside it, by the names that it has there. */
export function logBeside(
  bytes: ArrayBuffer | Uint8Array<ArrayBuffer>,
  where: string,
  beside: Files,
): Outcome<FoundLog> {
  const log = logOfBytes(bytes, where);
  if (!log.ok) return log;
  const clips = new Map<number, Contents>();
  const files = new Map<string, Contents>();
  for (const [name, contents] of beside) {
    const place = placeOfClip(name);
    if (clipName(place, log.value.entries[place]?.event) === name) clips.set(place, contents);
    else if (!SYSTEM_FILE.test(name)) files.set(name, contents);
  }
  return good({ where, log: log.value, clips, files });
}

/** Bytes that are no UTF-8 are refused: what stood there would be lost, and with it the digest. */
function logOfBytes(bytes: ArrayBuffer | Uint8Array<ArrayBuffer>, where: string): Outcome<LogFile> {
  try {
    return readLog(new TextDecoder('utf-8', { fatal: true }).decode(bytes), where);
  } catch {
    return bad(
      'This is not a log of a check: it is not text in UTF-8.',
      where,
      'Choose an exported zip, or its log.json.',
    );
  }
}

async function* inZip(
  zip: Source,
  where: string,
  budget: ZipBudget,
  breathe: () => Promise<void>,
  /** Absent within a zip. */
  share?: Share,
): AsyncGenerator<Found> {
  const { nth, of } = share ?? ALL;
  const listed = await zipEntries(zip, where, budget);
  if (!listed.ok) {
    if (nth === 0) yield { found: listed, done: 1, at: 0 };
    return;
  }
  const entries = listed.value;
  const holders = entries.filter(({ name }) => isLog(name) || name.endsWith('.zip'));
  if (holders.length === 0 && nth === 0) {
    yield { found: bad('There is no log in this zip.', where, 'Choose a zip that was exported here.'), done: 1, at: 0 };
  }
  const beside = besideLogs(entries);
  for (const [at, entry] of holders.entries()) {
    if (at % of !== nth) continue;
    await breathe();
    const place = `${where}, ${entry.name}`;
    const done = (at + 1) / holders.length;
    if (isLog(entry.name)) yield { found: await withFiles(entry, beside, place, breathe), done, at };
    else if (share === undefined)
      yield { found: bad('There is a zip within a zip within the zip.', place, 'Import the inner files.'), done, at };
    else {
      const inner = await entry.source(breathe);
      if (!inner.ok) yield { found: inner, done, at };
      else for await (const { found } of inZip(inner.value, place, budget, breathe)) yield { found, done, at };
    }
  }
}

function isLog(name: string): boolean {
  return name === LOG_NAME || name.endsWith(`/${LOG_NAME}`);
}

function folderOf(log: string): string {
  return log.slice(0, -LOG_NAME.length);
}

/** Each file by the log that it is beside: the one in its own folder, or in the nearest folder above. */
function besideLogs(entries: readonly ZipEntry[]): ReadonlyMap<string, readonly ZipEntry[]> {
  const folders = new Map<string, ZipEntry[]>(
    entries.flatMap(({ name }) => (isLog(name) ? [[folderOf(name), []]] : [])),
  );
  for (const entry of entries) {
    if (isLog(entry.name) || entry.name.endsWith('.zip')) continue;
    const parts = entry.name.split('/');
    for (let depth = parts.length - 1; depth >= 0; depth -= 1) {
      const folder = folders.get(
        parts
          .slice(0, depth)
          .map((part) => `${part}/`)
          .join(''),
      );
      folder?.push(entry);
      if (folder !== undefined) break;
    }
  }
  return folders;
}

/** The log, with the clips and files in the folder beside it. */
async function withFiles(
  entry: ZipEntry,
  beside: ReadonlyMap<string, readonly ZipEntry[]>,
  where: string,
  breathe: () => Promise<void>,
): Promise<Outcome<FoundLog>> {
  if (entry.size > MAX_LOG_BYTES) return bad('The file is larger than any log.', where);
  const bytes = await entry.bytes(breathe);
  if (!bytes.ok) return bytes;
  const folder = folderOf(entry.name);
  const files = (beside.get(folder) ?? []).map((each): [string, Contents] => [
    each.name.slice(folder.length),
    () => each.bytes(breathe),
  ]);
  return logBeside(bytes.value, where, new Map(files));
}
