import type { PhotoEvent } from '../check/event.ts';
import { photosOf } from '../check/photos.ts';
import type { Clips } from './contents.ts';
import { dataAddress } from './data-address.ts';
import { checkEvents, type LogFile } from './log.ts';
import type { Verification } from './verify.ts';

/** A photo that a log names. */
export interface LogPhoto extends PhotoEvent {
  /** The place of its entry. */
  readonly place: number;
  /** `wrong`: what is there is not what was taken. */
  readonly is: 'kept' | 'taken back' | 'wrong' | 'gone';
}

/** Every photo of a log, in order, and what became of it; `clips` and `faults` are those that it was verified with. */
export function photosOfLog(
  log: Pick<LogFile, 'entries'>,
  clips: ReadonlyMap<number, unknown>,
  { faults }: Pick<Verification, 'faults'>,
): readonly LogPhoto[] {
  const stand = new Set(photosOf(checkEvents(log)).map(({ clip }) => clip));
  const wrong = new Set(faults.flatMap(({ kind, entry }) => (kind === 'clip' ? [entry] : [])));
  return log.entries.flatMap(({ event }, place) => {
    if (event.type !== 'photo') return [];
    const isThere = clips.has(place) ? 'kept' : 'gone';
    const is = wrong.has(place) ? 'wrong' : stand.has(event.clip) ? isThere : 'taken back';
    return [{ ...event, place, is } as const];
  });
}

/** A photo as a report shows it: its picture as an address, or why there is none. */
export interface ShownPhoto {
  readonly item: string;
  readonly is: LogPhoto['is'];
  readonly address?: string;
}

/** The photos of a log with their pictures; one that cannot be read any more is gone. */
export function shownPhotos(photos: readonly LogPhoto[], clips: Clips): Promise<readonly ShownPhoto[]> {
  return Promise.all(
    photos.map(async ({ item, is, place }): Promise<ShownPhoto> => {
      if (is !== 'kept') return { item, is };
      const bytes = await clips.get(place)?.();
      return bytes?.ok === true ? { item, is, address: dataAddress(bytes.value, 'image/jpeg') } : { item, is: 'gone' };
    }),
  );
}
