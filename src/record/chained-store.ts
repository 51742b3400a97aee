import type { CheckEvent } from '../check/event.ts';
import { chainNext, headerDigest, newHeader, officersNext, sealNext } from './chain.ts';
import { differsAt } from './compare.ts';
import { sha256 } from '../units/sha256.ts';
import type { Device } from './device-key.ts';
import type { Packing } from './packing.ts';
import { officersOf } from './head-lines.ts';
import { memoryKeys, type KeyShelf } from './key-shelf.ts';
import type { Entry, Link, LogFile, LogHeader, SealEvent } from './log.ts';
import { logFile } from './log.ts';
import type { OfficerKey } from './officer-key.ts';
import type { CheckHead, EntryStore, RecordStore } from './record-store.ts';
import { memorySeals, type LastSeal } from './seal-chain.ts';
import type { Signer } from './signer.ts';

/** What an officer adds to a sealed check: a remark when there is text, else a countersignature. */
export interface OfficerWords {
  readonly officer: string;
  readonly text?: string;
  /** With a text that is the note of a repair: the id of the failed step. */
  readonly repair?: string;
  /** The officer's own key; without it the name alone is written. */
  readonly own?: OfficerKey;
  /** Of a signature under an examination: in which part of it. */
  readonly as?: 'candidate' | 'examiner';
}

/** A record whose logs are chained and sealed as they are written. */
export interface ChainedStore extends RecordStore {
  /** Whose keys this device knows; absent where it has no key itself. */
  readonly keys?: KeyShelf;
  /** How this device signs what it exports. */
  packing(): Promise<Packing>;
  /**
   * The log as it is exported; undefined when there is none. A check of this device that is over, but was cut off before
   * its seal, is sealed first.
   */
  log(check: string): Promise<LogFile | undefined>;
  /** Appends a signed remark or countersignature. Rejects when the check is not sealed, or the store fails. */
  sign(check: string, words: OfficerWords): Promise<void>;
  /**
   * Keeps a log from a file. `added`: it was not here. `extended`: it goes on where the one here ends. `known`: nothing new.
   * A number: it differs from the one here from that entry on, or what it adds does not verify, and nothing was changed.
   */
  takeIn(
    head: CheckHead,
    log: LogFile,
    clips: Parameters<EntryStore['addLog']>[2],
  ): Promise<'added' | 'extended' | 'known' | number>;
}

/** Where a chain stands. */
interface Tail {
  readonly header: LogHeader;
  readonly count: number;
  readonly digest: string;
  readonly sealed: boolean;
}

/**
 * Lays the chain over a store: every event is kept with its link, in one row, before it is answered. `now` gives ISO 8601 wall
 * time, `app` names the program and its version, the device's seals chain the checks to each other. An event that comes after the seal is
 * not part of the check, and not kept.
 */
export function chainedStore(
  inner: EntryStore,
  signer: Signer,
  now: () => string,
  app: string,
  { seals, keys }: Pick<Device, 'seals' | 'keys'> = { seals: memorySeals(), keys: memoryKeys() },
): ChainedStore {
  const tails = new Map<string, Tail>();
  const queues = new Map<string, Promise<unknown>>();
  const clipDigests = new Map<string, Promise<string | undefined>>();

  /** One thing at a time per check: a link needs the one before it. */
  function inTurn<T>(check: string, work: () => Promise<T>): Promise<T> {
    const done = (queues.get(check) ?? Promise.resolve()).then(work);
    queues.set(
      check,
      done.catch(() => undefined),
    );
    return done;
  }

  async function tailOf(check: string): Promise<Tail> {
    const known = tails.get(check);
    if (known !== undefined) return known;
    const { header, entries } = await chainOf(check, await inner.head(check));
    const digest = entries.at(-1)?.digest ?? (await headerDigest(header));
    const tail: Tail = {
      header,
      count: entries.length,
      digest,
      sealed: entries.some(({ event }) => event.type === 'seal'),
    };
    tails.set(check, tail);
    return tail;
  }

  /** The chain as kept. Events that were kept without links are chained here, in the same way each time. */
  async function chainOf(
    check: string,
    head: CheckHead | undefined,
  ): Promise<{ header: LogHeader; entries: readonly Entry[] }> {
    const header = head?.log ?? newHeader(check, now(), app, signer);
    if (head !== undefined && head.log === undefined) await inner.close({ ...head, log: header });
    const entries: Entry[] = [];
    let digest = await headerDigest(header);
    for (const { event, link } of await inner.entries(check)) {
      const entry = link === undefined ? await chainNext(digest, entries.length, event) : { ...link, event };
      entries.push(entry);
      digest = entry.digest;
    }
    return { header, entries };
  }

  async function put(check: string, tail: Tail, entry: Entry): Promise<void> {
    const { event, ...link } = entry;
    await inner.append(check, tail.count, event, link satisfies Link);
    tails.set(check, {
      ...tail,
      count: tail.count + 1,
      digest: entry.digest,
      sealed: tail.sealed || event.type === 'seal',
    });
  }

  /** A log that was begun with another key stays open: with ours, its seal would look forged. */
  async function seal(check: string): Promise<void> {
    const before = await tailOf(check);
    if (before.sealed || before.header.device.x !== signer.publicKey.x) return;
    await seals.inTurn(async () => {
      const last = await settled();
      const tail = await tailOf(check);
      if (tail.sealed) return;
      const entry = await sealNext(tail.digest, tail.count, now(), signer, last);
      const { number = 1 } = entry.event as SealEvent;
      // First where the next seal finds it: so no two checks ever have one number.
      await seals.keep({ number, digest: entry.digest, check, entry });
      await put(check, tail, entry);
    });
  }

  /** The last seal, which a page that was killed may have left without its place in the log. */
  async function settled(): Promise<LastSeal | undefined> {
    const last = await seals.last();
    if (last === undefined || (await inner.head(last.check)) === undefined) return last;
    tails.delete(last.check);
    const tail = await tailOf(last.check);
    if (tail.count === last.entry.index && tail.digest === last.entry.previous) await put(last.check, tail, last.entry);
    return last;
  }

  /** Binds the sound to the event, when there is any. */
  async function withClipDigest(event: CheckEvent): Promise<CheckEvent> {
    if ((event.type !== 'callout' && event.type !== 'photo') || event.clip === undefined) return event;
    const clipDigest = await clipDigests.get(event.clip);
    clipDigests.delete(event.clip);
    return clipDigest === undefined ? event : { ...event, clipDigest };
  }

  async function mergedHead(head: CheckHead): Promise<CheckHead> {
    return { ...(await inner.head(head.id)), ...head, log: (await tailOf(head.id)).header };
  }

  return {
    keys,
    packing: async () => ({ signer, wall: now(), known: await keys.known() }),
    get place() {
      return inner.place;
    },
    begin: (head) =>
      inTurn(head.id, async () => {
        const header = newHeader(head.id, now(), app, signer);
        await inner.begin({ ...head, log: header });
        tails.set(head.id, { header, count: 0, digest: await headerDigest(header), sealed: false });
      }),
    append: (check, index, event) =>
      inTurn(check, async () => {
        const tail = await tailOf(check);
        if (tail.sealed) return;
        // With two tabs on one check, the store refuses the place that is taken.
        await put(check, { ...tail, count: index }, await chainNext(tail.digest, index, await withClipDigest(event)));
      }),
    close: (head) =>
      inTurn(head.id, async () => {
        // The head first: were it the seal, a check killed in between could be resumed but not go on.
        await inner.close(await mergedHead(head));
        if (head.state === 'running') return;
        // Another tab keeps this check and will seal it, or the disk is full: then it is sealed when it is exported.
        await seal(head.id).catch(() => undefined);
      }),
    events: (check) => inner.events(check),
    heads: (most) => inner.heads(most),
    keepClip(clip) {
      clipDigests.set(
        clip.id,
        clip.wav
          .arrayBuffer()
          .then((sound) => sha256(new Uint8Array(sound)))
          .catch(() => undefined),
      );
      return inner.keepClip(clip);
    },
    clip: (id) => inner.clip(id),
    dropClip: (id) => inner.dropClip(id),
    dropOldestClip: () => inner.dropOldestClip(),
    remove: (check) =>
      inTurn(check, async () => {
        tails.delete(check);
        await inner.remove(check);
      }),
    log: (check) =>
      inTurn(check, async () => {
        const head = await inner.head(check);
        if (head === undefined) return undefined;
        // What cannot be sealed now (the disk is full) is exported as it stands.
        if (head.imported !== true && head.state !== 'running') await seal(check).catch(() => undefined);
        const { header, entries } = await chainOf(check, head);
        return logFile(header, entries, await headerDigest(header));
      }),
    sign: (check, { officer, text, repair, own, as }) =>
      inTurn(check, async () => {
        tails.delete(check);
        const tail = await tailOf(check);
        const head = await inner.head(check);
        if (!tail.sealed || head === undefined) throw new Error('Only a check that is over can be signed.');
        const by = { officer, wall: now(), key: signer.publicKey };
        const event =
          text === undefined
            ? ({ type: 'countersigned', ...(as === undefined ? {} : { as }), ...by } as const)
            : ({ type: 'remark', text, ...(repair === undefined ? {} : { repair }), ...by } as const);
        const entry = await officersNext(tail.digest, tail.count, event, signer, own);
        await put(check, tail, entry);
        await inner.close({ ...head, ...officersOf([entry.event], head) });
      }),
    takeIn: (head, log, clips) =>
      inTurn(head.id, async () => {
        tails.delete(head.id);
        const here = await inner.head(head.id);
        const stored = log.entries.map(({ event, ...link }) => ({ event, link }));
        if (here === undefined) {
          await inner.addLog({ ...head, log: log.header, imported: true }, stored, clips);
          return 'added';
        }
        const { header, entries } = await chainOf(head.id, here);
        const differs = await differsAt({ header, entries }, log);
        if (differs !== undefined) return differs;
        const rest = stored.slice(entries.length);
        if (rest.length === 0) return 'known';
        if (head.trouble !== undefined) return entries.length;
        for (const [offset, { event, link }] of rest.entries())
          await inner.append(head.id, entries.length + offset, event, link);
        tails.delete(head.id);
        const { state, verdict, steps } = head;
        const grown = verdict === undefined || steps === undefined ? {} : { state, verdict, steps };
        const added = rest.map(({ event }) => event);
        await inner.close({ ...here, ...grown, ...officersOf(added, here) });
        return 'extended';
      }),
  };
}
