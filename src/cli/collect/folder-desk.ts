import { mkdir, open, readdir, readFile, rename, stat } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { clipName, LOG_NAME } from '../../record/export-names.ts';
import type { LogFile } from '../../record/log.ts';
import { logBeside } from '../../record/find-logs.ts';
import type { Desk } from '../../shelf/desk.ts';
import { FOLDERS, isStation, readName, writeName, type ShelfName } from '../../shelf/names.ts';
import { readHead, readNote, upToSeal, withNotes, type Note } from '../../shelf/objects.ts';

type Bytes = Uint8Array<ArrayBuffer>;
type CheckName = Extract<ShelfName, { kind: 'check' }>;

/**
 * What was collected, in a folder: heads and remarks as they lie on the shelf, and each check as a folder that `verify` takes, with its remarks
 * in the log. A program that is killed leaves each file as it was, or as it is to be.
 */
export function folderDesk(folder: string): Desk {
  const pathOf = (name: string): string => join(folder, ...name.split('/'));
  const folderOf = (name: CheckName): string => pathOf(writeName(name).replace(/\.json$/, ''));

  async function notesOf({ station, day, digest }: CheckName): Promise<readonly Note[]> {
    const at = `${station}/${FOLDERS.note}/${day}`;
    const notes: Note[] = [];
    for (const file of await namesIn(pathOf(at))) {
      const name = readName(`${at}/${file}`);
      if (name?.kind !== 'note' || name.check !== digest) continue;
      const read = await readNote(await bytesIn(pathOf(`${at}/${file}`)), name, file);
      if (read.ok) notes.push(read.value);
    }
    return notes;
  }

  async function logOf(name: CheckName): Promise<LogFile | undefined> {
    const bytes = await bytesIn(join(folderOf(name), LOG_NAME)).catch(() => undefined);
    const found = bytes === undefined ? undefined : logBeside(bytes, LOG_NAME, new Map());
    return found?.ok === true ? found.value.log : undefined;
  }

  /** The log as the shelf has it, with the remarks that are here and more: the same ones in whatever order they came. */
  async function writeLog(name: CheckName, log: LogFile, more: readonly Note[] = []): Promise<readonly Note[]> {
    const here = await notesOf(name);
    const fresh = more.filter(({ digest }) => !here.some((each) => each.digest === digest));
    const { log: whole, beside } = withNotes(upToSeal(log), [...here, ...fresh]);
    await put(join(folderOf(name), LOG_NAME), new TextEncoder().encode(`${JSON.stringify(whole, null, 1)}\n`));
    return beside;
  }

  return {
    stations: async () => (await namesIn(folder)).filter(isStation),
    async heads(station) {
      const at = `${station}/${FOLDERS.head}`;
      const devices = await namesIn(pathOf(at));
      const all = await Promise.all(
        devices.map(async (device) =>
          (await namesIn(pathOf(`${at}/${device}`))).map((file) => `${at}/${device}/${file}`),
        ),
      );
      return all.flat();
    },
    async head(name) {
      const bytes = await bytesIn(pathOf(writeName(name))).catch(() => undefined);
      const read = bytes === undefined ? undefined : await readHead(bytes, name, '');
      return read?.ok === true ? read.value : undefined;
    },
    keepHead: (name, _head, bytes) => put(pathOf(writeName(name)), bytes),
    check: logOf,
    async keepCheck(name, { log }) {
      await writeLog(name, log);
    },
    hasNote: (name) => isThere(pathOf(writeName(name))),
    async keepNotes(check, notes) {
      // Into the log first: who is killed in between fetches them again.
      const log = await logOf(check);
      const fresh = notes.map(({ note }) => note);
      const beside = log === undefined ? fresh : await writeLog(check, log, fresh);
      for (const { name, bytes } of notes) await put(pathOf(writeName(name)), bytes);
      return beside;
    },
    hasClip: (name, place) => isThere(join(folderOf(name), clipName(place))),
    keepClip: (name, place, sound) => put(join(folderOf(name), clipName(place)), sound),
  };
}

/** Names of the checks that are in a folder, of all stations, from a day on. */
export async function checksIn(folder: string, from: string): Promise<readonly CheckName[]> {
  const names: CheckName[] = [];
  for (const station of await namesIn(folder)) {
    const at = join(folder, station, FOLDERS.check);
    for (const day of await namesIn(at)) {
      if (day < from) continue;
      for (const digest of await namesIn(join(at, day))) {
        const name = readName(`${station}/${FOLDERS.check}/${day}/${digest}.json`);
        if (name?.kind === 'check') names.push(name);
      }
    }
  }
  return names;
}

async function bytesIn(path: string): Promise<Bytes> {
  return new Uint8Array(await readFile(path));
}

/** Names in a folder, in order; none of one that is not there. */
async function namesIn(path: string): Promise<readonly string[]> {
  return (await readdir(path).catch(() => [])).filter((name) => !name.endsWith(PART)).sort();
}

function isThere(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    () => false,
  );
}

const PART = '.part';

/** All of it or nothing. */
async function put(path: string, bytes: Uint8Array): Promise<void> {
  await mkdir(dirname(path), { recursive: true });
  const handle = await open(`${path}${PART}`, 'w');
  try {
    await handle.writeFile(bytes);
    await handle.sync();
  } finally {
    await handle.close();
  }
  await rename(`${path}${PART}`, path);
}
