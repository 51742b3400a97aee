import type { CheckEvent } from '../check/event.ts';

/** The log format; see FORMAT.md. A change that an older reader would misread takes the next number. */
export const LOG_FORMAT = 'two-needles-log';
export const LOG_VERSION = 3;
/** Written until plans could have items, which a reader of that version would pass unlooked at; still read. */
export const ITEMLESS_VERSION = 2;
/** Written until checks of a device were chained to each other and the files beside the log were bound; still read. */
export const UNCHAINED_VERSION = 1;

/** A public ECDSA key on the curve P-256, as the four members of RFC 7517 and RFC 7518 that matter. */
export interface PublicKey {
  readonly kty: 'EC';
  readonly crv: 'P-256';
  /** Base64url of the 32 bytes of each coordinate. */
  readonly x: string;
  readonly y: string;
}

export interface LogHeader {
  readonly format: typeof LOG_FORMAT;
  readonly version: number;
  /** Id of the check; two logs of one id are the same check, or one of them is not what it says. */
  readonly check: string;
  /** ISO 8601 wall time at which the chain was begun: that of the check, or later for a log kept by a build without chains. */
  readonly created: string;
  /** Name and version of the program that wrote it. */
  readonly app: string;
  readonly digest: 'SHA-256';
  /** The key of the device that seals the log. */
  readonly device: PublicKey;
  /** The key was made for this log and thrown away: the seal is a checksum, and says nothing of who made the log. */
  readonly throwaway?: true;
}

/** The end of a check: nothing but remarks and countersignatures may follow. */
export interface SealEvent {
  readonly type: 'seal';
  /** Entries before the seal, and the digest of the last of them. */
  readonly count: number;
  readonly head: string;
  /** ISO 8601. */
  readonly wall: string;
  /** Of all seals by this key, the how manieth, from 1. Absent in version 1. */
  readonly number?: number;
  /** Digest of the seal before it by this key: chains the checks of a device to each other. Absent of the first. */
  readonly last?: string;
}

/** What an officer's own key, which only the PIN opens, has signed beside the device. */
export interface OwnSignature {
  readonly key: PublicKey;
  /** ISO 8601, when the key was made. */
  readonly made: string;
  /** SHA-256 thumbprint (RFC 7638) of the officer's key before, whose PIN was forgotten. */
  readonly replaces?: string;
  /** As that of an entry, over `{ index, previous, event }` with this very member left out. */
  readonly signature: string;
}

/** An officer's words about a sealed check. Signed with `key`, the key of the device it was written on. */
interface RemarkEvent {
  readonly type: 'remark';
  readonly officer: string;
  readonly text: string;
  /** The id of a failed step: the text is the note of its repair. */
  readonly repair?: string;
  readonly wall: string;
  readonly key: PublicKey;
  /** Absent where the name alone was written. */
  readonly own?: OwnSignature;
}

/** An officer has seen the check and stands for having seen it. */
interface CountersignedEvent {
  readonly type: 'countersigned';
  readonly officer: string;
  /** Of an examination: in which part of it. Absent of an officer. */
  readonly as?: 'candidate' | 'examiner';
  readonly wall: string;
  readonly key: PublicKey;
  /** Absent where the name alone was written. */
  readonly own?: OwnSignature;
}

export type OfficerEvent = RemarkEvent | CountersignedEvent;
export type LogEvent = CheckEvent | SealEvent | OfficerEvent;

/** An event in the chain. */
export interface Entry {
  /** Place in the log, from 0. */
  readonly index: number;
  /** Digest of the entry before; of the header for the first. Hex, as all digests. */
  readonly previous: string;
  readonly event: LogEvent;
  /** SHA-256 of the canonical JSON (RFC 8785) of `{ index, previous, event }`. */
  readonly digest: string;
  /** Only of a seal, a remark, a countersignature: ECDSA P-256 with SHA-256 of the same bytes; r and s, hex, 64 digits each. */
  readonly signature?: string;
}

/** What an entry adds to its event. */
export type Link = Omit<Entry, 'event'>;

export interface LogFile {
  readonly header: LogHeader;
  readonly entries: readonly Entry[];
  /** What the file was written with. Not signed: it shows a file that was cut short, not a forged one. */
  readonly end: { readonly count: number; readonly head: string };
}

export function isOfficerEvent(event: LogEvent): event is OfficerEvent {
  return event.type === 'remark' || event.type === 'countersigned';
}

/** True for what `replay` takes: all but seals and what comes after them. */
export function isCheckEvent(event: LogEvent): event is CheckEvent {
  return event.type !== 'seal' && !isOfficerEvent(event);
}

/** The events of the check itself, for replay. */
export function checkEvents(log: Pick<LogFile, 'entries'>): CheckEvent[] {
  return log.entries.map(({ event }) => event).filter(isCheckEvent);
}

/** The file of a chain as it stands. */
export function logFile(header: LogHeader, entries: readonly Entry[], headerDigest: string): LogFile {
  return { header, entries, end: { count: entries.length, head: entries.at(-1)?.digest ?? headerDigest } };
}
