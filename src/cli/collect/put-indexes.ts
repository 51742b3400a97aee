import type { Desk } from '../../shelf/desk.ts';
import { indexName, indexRow, writeIndex, type IndexRow } from '../../shelf/month-index.ts';
import type { Place } from '../../shelf/place.ts';
import type { Problem } from '../../units/outcome.ts';
import { checksIn } from './folder-desk.ts';

/** Makes the index of each station and month anew from what is in a folder: of months that begin on or after a day. */
export async function putIndexes(
  folder: string,
  desk: Desk,
  place: Place,
  since: string,
): Promise<Problem | undefined> {
  const rows = new Map<string, IndexRow[]>();
  for (const name of await checksIn(folder, since)) {
    const month = name.day.slice(0, 7);
    if (`${month}-01` < since) continue;
    const log = await desk.check(name);
    const row = log === undefined ? undefined : await indexRow(log);
    const index = indexName(name.station, month);
    if (row !== undefined) rows.set(index, [...(rows.get(index) ?? []), row]);
  }
  for (const [name, some] of rows) {
    const put = await place.put(name, writeIndex(some), 'again');
    if (put.kind === 'refused') return put.problem;
  }
  return undefined;
}
