import { findLogs, type Share } from '../../record/find-logs.ts';
import type { Problem } from '../../units/outcome.ts';
import { fileSource, openFile } from '../shared/open-file.ts';
import { plainError } from '../shared/plain-error.ts';
import { checkLog, type Asked, type CheckedLog } from './checked-log.ts';
import { isFolder, logOfFolder } from './log-folder.ts';

/** A log of a file, or why there is none. */
export type Checked = { readonly log: CheckedLog } | { readonly problem: Problem };

/** What was found in one place of a file, see `Found.at`. */
export interface CheckedPlace {
  readonly at: number;
  readonly checked: readonly Checked[];
}

/** Verifies the logs of a file, or the one of a folder that `hear --out` has written; of several threads each does its share. */
export async function* checkFile(file: string, asked: Asked, share: Share): AsyncGenerator<CheckedPlace> {
  try {
    if (await isFolder(file)) {
      if (share.nth > 0) return;
      const found = await logOfFolder(file);
      yield { at: 0, checked: [found.ok ? { log: await checkLog(found.value, asked) } : found] };
      return;
    }
    const handle = await openFile(file);
    if (!handle.ok) {
      if (share.nth === 0) yield { at: 0, checked: [handle] };
      return;
    }
    try {
      yield* places(await fileSource(handle.value), file, asked, share);
    } finally {
      await handle.value.close();
    }
  } catch (error) {
    yield { at: Infinity, checked: [{ problem: { what: plainError(error), where: file } }] };
  }
}

/** What was found in one place is told together. */
async function* places(
  source: Parameters<typeof findLogs>[0],
  file: string,
  asked: Asked,
  share: Share,
): AsyncGenerator<CheckedPlace> {
  let place: { at: number; checked: Checked[] } | undefined;
  for await (const { found, at } of findLogs(source, file, () => Promise.resolve(), share)) {
    if (place !== undefined && place.at !== at) yield place;
    if (place?.at !== at) place = { at, checked: [] };
    place.checked.push(found.ok ? { log: await checkLog(found.value, asked) } : found);
  }
  if (place !== undefined) yield place;
}
