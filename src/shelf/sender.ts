import type { ChainedStore } from '../record/chained-store.ts';
import type { LogFile, PublicKey } from '../record/log.ts';
import { sameKey } from '../record/signer.ts';
import { problemLine, type Problem } from '../units/outcome.ts';
import { AT_EASE, slower, type Pacing } from './pacing.ts';
import { sealOf } from './objects.ts';
import { parcels, piecesOf, type Parcel, type Piece, type Sent } from './parcel.ts';
import type { Place } from './place.ts';
import { putOnce } from './put-once.ts';

/** Where is kept what went. Methods reject with the storage's own error. */
export interface SentStore {
  all(): Promise<readonly Sent[]>;
  /** One of the same check is replaced. */
  keep(sent: Sent): Promise<void>;
}

export interface SenderParts {
  readonly store: Pick<ChainedStore, 'heads' | 'log' | 'clip'>;
  readonly sent: SentStore;
  readonly place: Place;
  readonly own: PublicKey;
  readonly station: string;
  /** Ms that only grow. */
  readonly steady: () => number;
  /** From 0 up to 1. */
  readonly random: () => number;
  /** Whether sounds go now, too. */
  readonly clips: () => boolean;
}

/** What a turn came to: something went (or was there already), it has to wait so many ms, or nothing is left. */
export type Turn = { readonly did: 'put' | 'rest' } | { readonly did: 'wait'; readonly ms: number };

/** What people see of it. */
export interface Outbox {
  /** Checks that have something that did not go yet. */
  readonly waiting: number;
  /** Checks of which something went since the page was opened. */
  readonly went: number;
  /** Why nothing goes, in one line. */
  readonly trouble?: string;
  /** Single objects that the shelf does not take, one line each; the others go on. */
  readonly refused: readonly string[];
}

/** A parcel that is being sent. */
interface Open {
  readonly parcel: Parcel;
  readonly clips: boolean;
  readonly pieces: readonly Piece[];
  readonly put: ReadonlySet<string>;
}

/**
 * Puts what is sealed onto the shelf, one object a turn. It may be thrown away at any moment: whoever comes after it finds out from the
 * record, from what was kept of it and from the shelf itself what is left to do.
 */
export class Sender {
  readonly #parts: SenderParts;
  #waiting: Parcel[] | undefined;
  #sent = new Map<string, Sent>();
  #open: Open | undefined;
  #pacing: Pacing = AT_EASE;
  #went = 0;
  /** Checks that the shelf refuses, by why; tried again by the next sender. */
  readonly #refused = new Map<string, string>();

  constructor(parts: SenderParts) {
    this.#parts = parts;
  }

  get outbox(): Outbox {
    const { trouble } = this.#pacing;
    return {
      waiting: (this.#waiting?.length ?? 0) + (this.#open === undefined ? 0 : 1) + this.#refused.size,
      went: this.#went,
      ...(trouble === undefined ? {} : { trouble: problemLine(trouble.problem) }),
      refused: [...this.#refused.values()],
    };
  }

  /** Looks into the record anew before the next turn: a check has ended, or was signed. */
  look(): void {
    this.#waiting = undefined;
  }

  /** Forgets that it was told to wait: the network is back, or somebody asked. */
  hurry(): void {
    this.#pacing = { ...this.#pacing, notBefore: 0 };
  }

  /** Does one thing. Rejects with the storage's own error, and may be called again. */
  async turn(): Promise<Turn> {
    const { steady } = this.#parts;
    const wait = this.#pacing.notBefore - steady();
    if (wait > 0) return { did: 'wait', ms: wait };
    // Away from the wifi by which its sounds were to go: it is looked at anew, without them.
    if (this.#open?.clips === true && !this.#parts.clips()) {
      this.#open = undefined;
      this.#waiting = undefined;
    }
    const open = await this.#next();
    if (open === undefined) return { did: 'rest' };
    const piece = open.pieces.find(({ name }) => !open.put.has(name));
    if (piece === undefined) {
      await this.#done(open);
      return { did: 'put' };
    }
    const bytes = await piece.bytes();
    const answer =
      bytes === undefined ? ({ kind: 'there' } as const) : await putOnce(this.#parts.place, piece.name, bytes);
    if (answer.kind !== 'refused') {
      this.#pacing = AT_EASE;
      await this.#tick(open, piece);
      return { did: 'put' };
    }
    if (answer.why !== 'object') {
      this.#pacing = slower(this.#pacing, answer, steady(), this.#parts.random);
      return { did: 'wait', ms: this.#pacing.notBefore - steady() };
    }
    this.#setAside(open, piece, answer.problem);
    return { did: 'put' };
  }

  /** The parcel that is being sent, or the next one. */
  async #next(): Promise<Open | undefined> {
    const { sent, store, own, station } = this.#parts;
    const clips = this.#parts.clips();
    if (this.#waiting === undefined) {
      this.#sent = new Map((await sent.all()).map((each) => [each.check, each]));
      const all = parcels(await store.heads(), this.#sent, own, clips);
      const busy = this.#open?.parcel.check;
      this.#waiting = all.filter(({ check }) => !this.#refused.has(check) && check !== busy);
    }
    while (this.#open === undefined) {
      const parcel = this.#waiting.shift();
      if (parcel === undefined) return undefined;
      const log: LogFile | undefined = await store.log(parcel.check);
      // It could not be sealed yet (the disk is full): the next look finds it again.
      if (log !== undefined && sealOf(log) === undefined && sameKey(log.header.device, own)) continue;
      const pieces = log === undefined ? [] : await piecesOf(log, own, station, clips ? store : undefined);
      const before = this.#sent.get(parcel.check);
      const went = pieces.filter(({ kind }) => before?.done === true && (kind === 'check' || kind === 'head'));
      const put = new Set([...(before?.put ?? []), ...went.map(({ name }) => name)]);
      // Sounds that went before, and are not to go now, count for nothing else.
      if (pieces.some(({ name }) => !put.has(name))) this.#open = { parcel, clips, pieces, put };
      else await this.#keep({ ...parcel, done: true, clips, put: [] });
    }
    return this.#open;
  }

  async #tick(open: Open, piece: Piece): Promise<void> {
    const put = new Set([...open.put, piece.name]);
    const { parcel, clips } = open;
    this.#open = { ...open, put };
    if (open.pieces.every(({ name }) => put.has(name))) await this.#done(open);
    else await this.#keep({ ...parcel, done: false, clips, put: [...put] });
  }

  async #done({ parcel, clips }: Open): Promise<void> {
    this.#open = undefined;
    this.#went += 1;
    await this.#keep({ ...parcel, done: true, clips, put: [] });
  }

  #setAside({ parcel }: Open, { name }: Piece, problem: Problem): void {
    this.#open = undefined;
    this.#refused.set(parcel.check, problemLine({ ...problem, where: name }));
  }

  async #keep(sent: Sent): Promise<void> {
    this.#sent.set(sent.check, sent);
    await this.#parts.sent.keep(sent);
  }
}
