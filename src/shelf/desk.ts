import type { LogFile } from '../record/log.ts';
import type { ShelfName } from './names.ts';
import type { Note, ShelvedCheck, ShelvedHead } from './objects.ts';

export type Named<K extends ShelfName['kind']> = Extract<ShelfName, { kind: K }>;
type Bytes = Uint8Array<ArrayBuffer>;

/** A remark or countersignature that was found to be whole. */
export interface FoundNote {
  readonly note: Note;
  readonly name: Named<'note'>;
  readonly bytes: Bytes;
}

/** Where a reader keeps what was found to be whole. Methods reject with the storage's own error. */
export interface Desk {
  /** Stations of which something is kept here. */
  stations(): Promise<readonly string[]>;
  /** Names of the heads of a station that are kept here. */
  heads(station: string): Promise<readonly string[]>;
  head(name: Named<'head'>): Promise<ShelvedHead | undefined>;
  keepHead(name: Named<'head'>, head: ShelvedHead, bytes: Bytes): Promise<void>;
  check(name: Named<'check'>): Promise<LogFile | undefined>;
  keepCheck(name: Named<'check'>, check: ShelvedCheck): Promise<void>;
  hasNote(name: Named<'note'>): Promise<boolean>;
  /** Of one check, at once. Resolves with those that the log does not hold, of all that are here: another line is longer. */
  keepNotes(check: Named<'check'>, notes: readonly FoundNote[]): Promise<readonly Note[]>;
  /** `place`: of the entry that names the sound. */
  hasClip(check: Named<'check'>, place: number): Promise<boolean>;
  keepClip(check: Named<'check'>, place: number, sound: Bytes): Promise<void>;
}
