import { entryBytes, headerDigest, ownBytes } from './chain.ts';
import type { Clips, Files } from './contents.ts';
import { sha256 } from '../units/sha256.ts';
import { eventFaults, type Replayed } from './event-faults.ts';
import type { Fault } from './fault.ts';
import { besideFaults, type Beside } from './file-faults.ts';
import type { Entry, LogFile, OfficerEvent, OwnSignature, PublicKey, SealEvent } from './log.ts';
import { isOfficerEvent, UNCHAINED_VERSION } from './log.ts';
import type { SealPlace } from './seal-chain.ts';
import { namedClip } from './named-clip.ts';
import { missing, orderFaults, type Placed } from './sequence.ts';
import { isSignedBy, keyName } from './signer.ts';

/** A countersignature or remark that holds. */
export interface Countersigned {
  /** Its place in the log. */
  readonly entry: number;
  readonly officer: string;
  /** The device that it was signed on, and the name of its key. */
  readonly by: PublicKey;
  readonly key: string;
  /** The officer's own key, with its name; absent where the name alone was written. */
  readonly own?: OwnSignature & { readonly name: string };
}

export interface Verification {
  /** In the order in which they were looked for; empty when nothing is wrong. The log can be read in any case. */
  readonly faults: readonly Fault[];
  /** The name of the key that the log says it was sealed with: compare it with that of the device. */
  readonly device: string;
  /** Officers whose countersignature holds. */
  readonly countersigned: readonly Countersigned[];
  /** Officers whose remark holds. */
  readonly remarked: readonly Countersigned[];
  /** Sounds and photos that were checked against the log, and those that it names but that are not there (deleted: no fault). */
  readonly clips: { readonly sound: number; readonly photos: number; readonly gone: number };
  /** The files beside the log, when there are any. */
  readonly files: Omit<Beside, 'faults'>;
  /** The place of the seal among those of its key, and the digest of the one before; absent in version 1 and without a seal. */
  readonly seal?: SealPlace & { readonly last?: string };
  /** What replaying its events gives; absent where they cannot be, and of a check that was not ended. */
  readonly verdict?: NonNullable<Replayed['verdict']>;
}

/**
 * Checks a whole log: every digest, the order, the seal, every signature, that its events can be replayed, the clips that are
 * given, by the place of the entry that names them, and the files beside it, by name. It cannot tell a log that was forged as a
 * whole, with another key: `device` names the key, and `sealerOf` says whether it is known.
 */
export async function verifyLog(
  log: LogFile,
  clips: Clips = new Map(),
  files: Files = new Map(),
): Promise<Verification> {
  const { header, entries } = log;
  const placed = await Promise.all(
    entries.map(async (entry, place): Promise<Placed> => ({
      entry,
      place,
      sound: (await digestOf(entry)) === entry.digest,
    })),
  );
  const first = await headerDigest(header);
  const order = orderFaults(placed, first);
  // Where the order is broken already, what stands where says nothing more.
  const replayed: Replayed = order.length > 0 ? { faults: [] } : eventFaults(log);
  const faults = [
    ...order,
    ...endFaults(log, first, order),
    ...sealFaults(log, placed, order),
    ...(await signatureFaults(log, placed)),
    ...replayed.faults,
  ];
  const heard = await checkClips(entries, clips);
  const beside = await besideFaults(log, files);
  const { bound, gone, loose, packer } = beside;
  return {
    faults: [...faults, ...heard.faults, ...beside.faults],
    device: await keyName(header.device),
    countersigned: await signersOf('countersigned', entries, faults),
    remarked: await signersOf('remark', entries, faults),
    clips: heard.counts,
    files: { bound, gone, loose, ...(packer === undefined ? {} : { packer }) },
    ...sealPlace(entries),
    ...(replayed.verdict === undefined ? {} : { verdict: replayed.verdict }),
  };
}

function sealPlace(entries: readonly Entry[]): Pick<Verification, 'seal'> {
  const seal = entries.find(({ event }) => event.type === 'seal');
  if (seal?.event.type !== 'seal' || seal.event.number === undefined) return {};
  const { number, last } = seal.event;
  return { seal: { number, digest: seal.digest, ...(last === undefined ? {} : { last }) } };
}

async function digestOf(entry: Entry): Promise<string | undefined> {
  try {
    return await sha256(entryBytes(entry));
  } catch {
    return undefined;
  }
}

/** The file says how many entries it was written with: that shows a cut at its very end, where no link can. */
function endFaults({ entries, end }: LogFile, first: string, order: readonly Fault[]): Fault[] {
  const highest = entries.reduce((most, { index }) => Math.max(most, index), -1);
  if (order.length === 0 && end.count > entries.length) return [missing(highest + 1, end.count - 1)];
  const last = entries.length - 1;
  if (order.length > 0 || (end.count === entries.length && end.head === (entries[last]?.digest ?? first))) return [];
  const what = 'The end of the file does not fit its last entry: one of them was replaced.';
  return [{ kind: 'cut-short', ...(last < 0 ? {} : { entry: last }), what }];
}

function sealFaults({ header }: LogFile, placed: readonly Placed[], order: readonly Fault[]): Fault[] {
  const seals = placed.filter(({ entry }) => entry.event.type === 'seal');
  const seal = seals[0];
  if (seal === undefined) {
    return [{ kind: 'unfinished', what: 'The log has no seal: the check was cut off, or its end was removed.' }];
  }
  // Where the order is broken already, what stands where says nothing more.
  if (order.length > 0) return [];
  const faults: Fault[] = [];
  const stray = (entry: number, what: string): number => faults.push({ kind: 'misplaced', entry, what });
  if (placed[0]?.entry.event.type !== 'start') stray(0, 'The log does not begin with the start of a check.');
  for (const { entry, place } of placed) {
    const { event } = entry;
    if (isOfficerEvent(event) && place < seal.place)
      stray(place, `Entry ${place} is an officer's, but stands before the seal.`);
    if (!isOfficerEvent(event) && place > seal.place) stray(place, `Entry ${place} was added after the seal.`);
    if (event.type === 'seal' && (event.count !== entry.index || event.head !== entry.previous)) {
      stray(place, `The seal in entry ${place} is not over the entries before it.`);
    }
    if (event.type === 'seal' && header.version !== UNCHAINED_VERSION && !isChained(event))
      stray(place, `The seal in entry ${place} does not say which of its device's seals it is.`);
  }
  return faults;
}

/** The first has nothing before it; each other names the one before. */
function isChained({ number, last }: SealEvent): boolean {
  return Number.isSafeInteger(number) && (number === 1) === (last === undefined) && (number ?? 0) >= 1;
}

async function signatureFaults({ header }: LogFile, placed: readonly Placed[]): Promise<Fault[]> {
  const faults: Fault[] = [];
  for (const { entry, place, sound } of placed) {
    const { event, signature } = entry;
    const key = event.type === 'seal' ? header.device : isOfficerEvent(event) ? event.key : undefined;
    if (key === undefined && signature === undefined) continue;
    if (key === undefined) {
      faults.push({
        kind: 'edited',
        entry: place,
        what: `Entry ${place} was edited: it has a signature that it cannot have.`,
      });
    } else if (sound && (signature === undefined || !(await isSignedBy(key, entryBytes(entry), signature)))) {
      const whose = event.type === 'seal' ? "of the device's key" : "of its officer's key";
      faults.push({
        kind: 'signature',
        entry: place,
        what: `The signature of entry ${place} (${event.type}) is not ${whose}.`,
      });
    } else if (sound && isOfficerEvent(event) && !(await holdsOwn({ ...entry, event }))) {
      const what = `The signature in entry ${place} is not of the key that is named as ${event.officer}’s own.`;
      faults.push({ kind: 'signature', entry: place, what });
    }
  }
  return faults;
}

/** True where the officer's own key has signed, or none is named. */
async function holdsOwn(entry: Entry & { readonly event: OfficerEvent }): Promise<boolean> {
  const { own } = entry.event;
  const bytes = ownBytes(entry);
  return own === undefined || bytes === undefined || isSignedBy(own.key, bytes, own.signature);
}

async function checkClips(
  entries: readonly Entry[],
  clips: Clips,
): Promise<{ faults: Fault[]; counts: Verification['clips'] }> {
  const faults: Fault[] = [];
  let [sound, photos] = [0, 0];
  for (const [place, contents] of clips) {
    const named = namedClip(entries[place]?.event);
    const wrong = (what: string): number => faults.push({ kind: 'clip', entry: place, what });
    if (named?.digest === undefined) wrong(`There is a clip for entry ${place}, which names none.`);
    else {
      const bytes = await contents();
      const is = named.kind === 'photo' ? 'photo' : 'clip';
      if (!bytes.ok) wrong(`The ${is} of entry ${place} cannot be read.`);
      else if (named.digest !== (await sha256(bytes.value)))
        wrong(
          `The ${is} of entry ${place} is not the ${named.kind === 'photo' ? 'one that was taken' : 'sound that was heard'}.`,
        );
      else if (named.kind === 'photo') photos += 1;
      else sound += 1;
    }
  }
  const gone = entries.filter(({ event }, place) => namedClip(event)?.digest !== undefined && !clips.has(place)).length;
  return { faults, counts: { sound, photos, gone } };
}

async function signersOf(
  type: OfficerEvent['type'],
  entries: readonly Entry[],
  faults: readonly Fault[],
): Promise<Verification['countersigned']> {
  const broken = new Set(faults.map(({ entry }) => entry));
  const signed: Countersigned[] = [];
  for (const [place, { event }] of entries.entries()) {
    if (isOfficerEvent(event) && event.type === type && !broken.has(place)) {
      const { officer, key: by, own } = event;
      const named = own === undefined ? {} : { own: { ...own, name: await keyName(own.key) } };
      signed.push({ entry: place, officer, key: await keyName(by), by, ...named });
    }
  }
  return signed;
}
