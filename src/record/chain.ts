import type { CheckEvent } from '../check/event.ts';
import { canonicalBytes } from './canonical.ts';
import { sha256 } from '../units/sha256.ts';
import { without } from '../units/without.ts';
import type { Entry, LogEvent, LogFile, LogHeader, OfficerEvent, SealEvent } from './log.ts';
import { LOG_FORMAT, LOG_VERSION, logFile } from './log.ts';
import type { OfficerKey } from './officer-key.ts';
import type { SealPlace } from './seal-chain.ts';
import type { Signer } from './signer.ts';

/** The bytes of an entry that its digest, and its signature where it has one, are made of. */
export function entryBytes({
  index,
  previous,
  event,
}: Pick<Entry, 'index' | 'previous' | 'event'>): Uint8Array<ArrayBuffer> {
  return canonicalBytes({ index, previous, event });
}

/** What the first entry of a log is chained to. */
export function headerDigest(header: LogHeader): Promise<string> {
  return sha256(canonicalBytes(header));
}

/** The header of a log that begins. `created` is ISO 8601. */
export function newHeader(check: string, created: string, app: string, { publicKey, throwaway }: Signer): LogHeader {
  const header = { format: LOG_FORMAT, version: LOG_VERSION, check, created, app, digest: 'SHA-256' } as const;
  return { ...header, device: publicKey, ...(throwaway === true ? { throwaway } : {}) };
}

/** The next entry of a chain: all it needs of what came before is one digest. */
export async function chainNext(previous: string, index: number, event: LogEvent): Promise<Entry> {
  return { index, previous, event, digest: await sha256(entryBytes({ index, previous, event })) };
}

/** The next entry, signed: for seals, remarks and countersignatures. */
export async function signedNext(
  previous: string,
  index: number,
  event: SealEvent | OfficerEvent,
  signer: Signer,
): Promise<Entry> {
  const entry = await chainNext(previous, index, event);
  return { ...entry, signature: await signer.sign(entryBytes(entry)) };
}

/** What an officer's own key signs: the entry without that signature. Undefined where a name alone was written. */
export function ownBytes({
  index,
  previous,
  event,
}: Pick<Entry, 'index' | 'previous'> & { event: OfficerEvent }): Uint8Array<ArrayBuffer> | undefined {
  if (event.own === undefined) return undefined;
  return canonicalBytes({ index, previous, event: { ...event, own: without(event.own, 'signature') } });
}

/** The next entry, signed by the device and, where a PIN has opened it, by the officer's own key. */
export async function officersNext(
  previous: string,
  index: number,
  event: OfficerEvent,
  signer: Signer,
  own?: OfficerKey,
): Promise<Entry> {
  if (own === undefined) return signedNext(previous, index, event, signer);
  const { made, replaces } = own;
  const named = { key: own.signer.publicKey, made, ...(replaces === undefined ? {} : { replaces }), signature: '' };
  const bytes = ownBytes({ index, previous, event: { ...event, own: named } });
  const signature = bytes === undefined ? '' : await own.signer.sign(bytes);
  return signedNext(previous, index, { ...event, own: { ...named, signature } }, signer);
}

/** The seal over a chain of `count` entries that ends in `head`, at the wall time `wall`, after the last seal of this key. */
export function sealNext(head: string, count: number, wall: string, signer: Signer, last?: SealPlace): Promise<Entry> {
  const chained = last === undefined ? { number: 1 } : { number: last.number + 1, last: last.digest };
  return signedNext(head, count, { type: 'seal', count, head, wall, ...chained }, signer);
}

/** A sealed log of a check that is over. */
export async function sealedLog(
  header: LogHeader,
  events: readonly CheckEvent[],
  wall: string,
  signer: Signer,
  last?: SealPlace,
): Promise<LogFile> {
  const first = await headerDigest(header);
  const entries: Entry[] = [];
  let head = first;
  for (const event of events) {
    const entry = await chainNext(head, entries.length, event);
    entries.push(entry);
    head = entry.digest;
  }
  entries.push(await sealNext(head, entries.length, wall, signer, last));
  return logFile(header, entries, first);
}
