import type { LogEvent } from './log.ts';

/** What an entry has beside the log: the sound of a callout, or the picture of an item. */
export interface NamedClip {
  readonly kind: 'sound' | 'photo';
  /** Its id in the record. */
  readonly id: string;
  /** Absent where it was never bound to the log. */
  readonly digest?: string;
  /** What browsers are told that it is. */
  readonly type: 'audio/wav' | 'image/jpeg';
}

export function namedClip(event: LogEvent | undefined): NamedClip | undefined {
  if ((event?.type !== 'callout' && event?.type !== 'photo') || event.clip === undefined) return undefined;
  const { clip: id, clipDigest: digest } = event;
  const is = event.type === 'photo' ? PHOTO : SOUND;
  return { ...is, id, ...(digest === undefined ? {} : { digest }) };
}

const SOUND = { kind: 'sound', type: 'audio/wav' } as const;
const PHOTO = { kind: 'photo', type: 'image/jpeg' } as const;
/** More than any time since 1970 in ms: what is kept by it is younger than every sound. */
const LATER = 1e14;

/** The order in which clips are given up when the disk is full: the oldest first, and a photo after all sounds. `wall` in ms since 1970. */
export function keptAs(kind: NamedClip['kind'], wall: number): number {
  return kind === 'photo' ? wall + LATER : wall;
}
