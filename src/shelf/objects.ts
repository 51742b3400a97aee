import * as v from 'valibot';
import { canonicalBytes } from '../record/canonical.ts';
import { entryBytes } from '../record/chain.ts';
import { publicKey } from '../record/event-shape.ts';
import {
  isOfficerEvent,
  type Entry,
  type LogFile,
  type OfficerEvent,
  type PublicKey,
  type SealEvent,
} from '../record/log.ts';
import { readEntry, readLog } from '../record/read-log.ts';
import { isSignedBy, thumbprint } from '../record/signer.ts';
import { verifyLog, type Verification } from '../record/verify.ts';
import { bad, good, type Outcome } from '../units/outcome.ts';
import { sha256 } from '../units/sha256.ts';
import { dayOf, type ShelfName } from './names.ts';

type Named<K extends ShelfName['kind']> = Extract<ShelfName, { kind: K }>;
type Bytes = Uint8Array<ArrayBuffer>;

/** An entry that is a seal. */
export type Seal = Entry & { readonly event: SealEvent };
/** An entry that is an officer's. */
export type Note = Entry & { readonly event: OfficerEvent };

const HEAD_FORMAT = 'two-needles-head';
const NOTE_FORMAT = 'two-needles-note';

/** The seal of a log that may lie on a shelf: chained to the other checks of its device. */
export function sealOf({ header, entries }: Pick<LogFile, 'header' | 'entries'>): Seal | undefined {
  const seal = entries.find((entry): entry is Seal => entry.event.type === 'seal');
  return header.throwaway === true || seal?.event.number === undefined ? undefined : seal;
}

/** The log up to its seal: what never changes any more. */
export function checkBytes(log: LogFile, seal: Seal): Bytes {
  return canonicalBytes(cutAt(log, seal));
}

/** A log without what officers have signed after its seal. */
export function upToSeal(log: LogFile): LogFile {
  const seal = sealOf(log);
  return seal === undefined ? log : cutAt(log, seal);
}

function cutAt({ header, entries }: LogFile, seal: Seal): LogFile {
  const sealed = entries.slice(0, seal.index + 1);
  return { header, entries: sealed, end: { count: sealed.length, head: seal.digest } };
}

/** A seal alone, with the key that signed it: shows that there is, or was, such a check, and which came before it. */
export function headBytes(device: PublicKey, seal: Seal): Bytes {
  return canonicalBytes({ format: HEAD_FORMAT, version: 1, device, seal });
}

/** An officer's entry after the seal of a check. */
export function noteBytes(check: string, entry: Note): Bytes {
  return canonicalBytes({ format: NOTE_FORMAT, version: 1, check, entry });
}

/** A check from a shelf, whole and what its name says. */
export interface ShelvedCheck {
  readonly log: LogFile;
  readonly seal: Seal;
  readonly verification: Verification;
}

/** Reads what lies under the name of a check. Everything in it is verified; whose key it is, is for the reader to compare. */
export async function readCheck(bytes: Bytes, name: Named<'check'>, where: string): Promise<Outcome<ShelvedCheck>> {
  const text = textOf(bytes);
  const log = text === undefined ? bad('It is not text in UTF-8.', where) : readLog(text, where);
  if (!log.ok) return log;
  const seal = sealOf(log.value);
  if (seal === undefined) return bad('It has no numbered seal of a device.', where);
  const verification = await verifyLog(log.value);
  const [fault] = verification.faults;
  if (fault !== undefined) return bad(fault.what, where);
  if (!isSame(checkBytes(log.value, seal), bytes)) return bad('It has more in it than a sealed check.', where);
  if (seal.digest !== name.digest) return bad('It is another check than its name says.', where);
  if (dayOf(seal.event.wall) !== name.day) return bad('It lies under another day than that of its seal.', where);
  return good({ log: log.value, seal, verification });
}

/** What a head says, once it was found to be signed and to be what its name says. */
export interface ShelvedHead {
  readonly device: PublicKey;
  readonly seal: Seal;
}

const head = v.strictObject({
  format: v.literal(HEAD_FORMAT),
  version: v.literal(1),
  device: publicKey,
  seal: v.unknown(),
});

export async function readHead(bytes: Bytes, name: Named<'head'>, where: string): Promise<Outcome<ShelvedHead>> {
  const read = readCanonical(head, bytes);
  const seal = read === undefined ? undefined : readEntry(read.seal);
  if (read === undefined || seal?.event.type !== 'seal') return bad('It is no head of a device, or was edited.', where);
  const { device } = read;
  const { number, wall } = seal.event;
  if (!(await isSound(seal, device))) return bad('Its signature is not of its key: it was edited.', where);
  const says = seal.digest === name.digest && number === name.number && dayOf(wall) === name.day;
  if (!says || (await thumbprint(device)) !== name.device) return bad('It is another head than its name says.', where);
  return good({ device, seal: seal as Seal });
}

const note = v.strictObject({
  format: v.literal(NOTE_FORMAT),
  version: v.literal(1),
  check: v.string(),
  entry: v.unknown(),
});

/** Reads a remark or countersignature. Whether it goes on where the check ends is for `withNotes` to see. */
export async function readNote(bytes: Bytes, name: Named<'note'>, where: string): Promise<Outcome<Note>> {
  const read = readCanonical(note, bytes);
  const entry = read === undefined ? undefined : readEntry(read.entry);
  if (read === undefined || entry === undefined || !isOfficerEvent(entry.event))
    return bad('It is no remark or countersignature, or was edited.', where);
  if (!(await isSound(entry, entry.event.key))) return bad('Its signature is not of its key: it was edited.', where);
  if (read.check !== name.check || entry.digest !== name.digest)
    return bad('It is another remark than its name says.', where);
  return good(entry as Note);
}

/**
 * The log with the notes that go on where it ends. Officers who write at the same time on two devices make two lines, of which a log holds
 * one: the longest, or of two as long the one whose first digest is lower. The others are `beside`.
 */
export function withNotes(
  log: LogFile,
  notes: readonly Note[],
): { readonly log: LogFile; readonly beside: readonly Note[] } {
  const line = longestAfter(log.end.head, notes).filter(({ index }, at) => index === log.entries.length + at);
  const entries = [...log.entries, ...line];
  const last = line.at(-1)?.digest ?? log.end.head;
  const known = new Set(entries.map(({ digest }) => digest));
  return {
    log: { ...log, entries, end: { count: entries.length, head: last } },
    beside: notes.filter(({ digest }) => !known.has(digest)),
  };
}

/** Without recursion, and each note once: whoever may put can make lines of any length, and a store can list a name twice. */
function longestAfter(head: string, notes: readonly Note[]): readonly Note[] {
  const after = new Map<string, Note[]>();
  for (const note of new Map(notes.map((each) => [each.digest, each])).values())
    after.set(note.previous, [...(after.get(note.previous) ?? []), note]);
  const order = [head];
  for (const digest of order) order.push(...(after.get(digest) ?? []).map((next) => next.digest));
  const lengths = new Map<string, number>();
  const next = new Map<string, Note>();
  for (const digest of order.toReversed()) {
    const best = (after.get(digest) ?? [])
      .toSorted((a, b) => (a.digest < b.digest ? -1 : 1))
      .reduce<Note | undefined>((one, other) => {
        return one === undefined || (lengths.get(other.digest) ?? 0) > (lengths.get(one.digest) ?? 0) ? other : one;
      }, undefined);
    lengths.set(digest, best === undefined ? 0 : 1 + (lengths.get(best.digest) ?? 0));
    if (best !== undefined) next.set(digest, best);
  }
  const line: Note[] = [];
  for (let note = next.get(head); note !== undefined; note = next.get(note.digest)) line.push(note);
  return line;
}

/** True when the digest is that of the entry and the signature that of the key. */
async function isSound(entry: Entry, key: PublicKey): Promise<boolean> {
  const bytes = entryBytes(entry);
  if (entry.signature === undefined || (await sha256(bytes)) !== entry.digest) return false;
  return isSignedBy(key, bytes, entry.signature);
}

function textOf(bytes: Bytes): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

/** JSON in its canonical form, so that nothing in it can be said twice; undefined for anything else. */
function readCanonical<T>(schema: v.GenericSchema<unknown, T>, bytes: Bytes): T | undefined {
  const parsed = v.safeParse(v.pipe(v.string(), v.parseJson(), schema), textOf(bytes));
  if (!parsed.success) return undefined;
  try {
    return isSame(canonicalBytes(parsed.output), bytes) ? parsed.output : undefined;
  } catch {
    // Nested deeper than any of ours, or text that is no Unicode: one such object must not end the reading of the others.
    return undefined;
  }
}

function isSame(one: Bytes, other: Bytes): boolean {
  return one.length === other.length && one.every((byte, at) => byte === other[at]);
}
