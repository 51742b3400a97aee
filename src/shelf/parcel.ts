import { clipsOf } from '../record/export.ts';
import type { ChainedStore } from '../record/chained-store.ts';
import { isOfficerEvent, type LogFile, type PublicKey } from '../record/log.ts';
import type { CheckHead } from '../record/record-store.ts';
import { sameKey, thumbprint } from '../record/signer.ts';
import { dayOf, writeName } from './names.ts';
import { checkBytes, headBytes, noteBytes, sealOf, type Note } from './objects.ts';

/** One object that goes to the shelf. */
export interface Piece {
  readonly name: string;
  readonly kind: 'check' | 'head' | 'note' | 'clip';
  /** Undefined when it is not here any more: a sound that was given up. */
  bytes(): Promise<Uint8Array<ArrayBuffer> | undefined>;
}

/** What of a check has to go to the shelf, as far as its head tells. */
export interface Parcel {
  readonly check: string;
  /** Remarks and countersignatures that the check has. */
  readonly officers: number;
}

/** What was done about a check; kept so that nothing is sent twice for no reason. Losing it loses nothing: what is there is found there. */
export interface Sent extends Parcel {
  /** Everything that it had went, or is not for this device to send. */
  readonly done: boolean;
  /** Its sounds were to go, too. */
  readonly clips: boolean;
  /** Names of what went, until it is done. */
  readonly put: readonly string[];
}

/** Checks of the record that have something that did not go yet, oldest first. `clips`: sounds go, too. */
export function parcels(
  heads: readonly CheckHead[],
  sent: ReadonlyMap<string, Sent>,
  own: PublicKey,
  clips: boolean,
): readonly Parcel[] {
  return heads
    .filter(({ state }) => state !== 'running')
    .map(({ id, startedAt, log, countersigned = [], remarks = [] }) => ({
      // Of another device's check only what was signed here goes: without any remark it need not be read.
      isOthers: log !== undefined && !sameKey(log.device, own),
      parcel: { check: id, officers: countersigned.length + remarks.length },
      startedAt,
    }))
    .filter(({ isOthers, parcel: { check, officers } }) => {
      if (isOthers && officers === 0) return false;
      const before = sent.get(check);
      return before === undefined || !before.done || before.officers !== officers || (clips && !before.clips);
    })
    .toSorted((a, b) => a.startedAt.localeCompare(b.startedAt))
    .map(({ parcel }) => parcel);
}

/**
 * The objects of a log that this device has to put, in their order: of its own checks the check, its head and the sounds, and of any check what
 * was signed here. The check goes before its head, so that a head never tells of a check that was not there.
 */
export async function piecesOf(
  log: LogFile,
  own: PublicKey,
  station: string,
  store: Pick<ChainedStore, 'clip'> | undefined,
): Promise<readonly Piece[]> {
  const seal = sealOf(log);
  if (seal === undefined) return [];
  const at = { station, day: dayOf(seal.event.wall) };
  const check = seal.digest;
  const notes = log.entries
    .filter((entry): entry is Note => isOfficerEvent(entry.event) && sameKey(entry.event.key, own))
    .map((entry): Piece => ({
      kind: 'note',
      name: writeName({ kind: 'note', ...at, check, digest: entry.digest }),
      bytes: () => Promise.resolve(noteBytes(check, entry)),
    }));
  if (!sameKey(log.header.device, own)) return notes;
  const device = await thumbprint(own);
  const { number = 0 } = seal.event;
  const sealed: readonly Piece[] = [
    {
      kind: 'check',
      name: writeName({ kind: 'check', ...at, digest: check }),
      bytes: () => Promise.resolve(checkBytes(log, seal)),
    },
    {
      kind: 'head',
      name: writeName({ kind: 'head', ...at, device, number, digest: check }),
      bytes: () => Promise.resolve(headBytes(own, seal)),
    },
  ];
  return [...sealed, ...notes, ...(store === undefined ? [] : await clipPieces(log, check, at, store))];
}

async function clipPieces(
  log: LogFile,
  check: string,
  at: { readonly station: string; readonly day: string },
  store: Pick<ChainedStore, 'clip'>,
): Promise<readonly Piece[]> {
  return [...(await clipsOf(store, log))].flatMap(([place, contents]): Piece[] => {
    const event = log.entries[place]?.event;
    // Photos stay on the device.
    const digest = event?.type === 'callout' ? event.clipDigest : undefined;
    if (digest === undefined) return [];
    const name = writeName({ kind: 'clip', ...at, check, digest });
    return [
      {
        kind: 'clip',
        name,
        async bytes() {
          const sound = await contents();
          return sound.ok ? sound.value : undefined;
        },
      },
    ];
  });
}
