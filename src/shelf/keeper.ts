import type { ChainedStore } from '../record/chained-store.ts';
import type { Clock } from '../units/clock.ts';
import type { Place } from './place.ts';
import { Sender, type Outbox, type Turn } from './sender.ts';
import type { ShelfDisk, ShelfSetting } from './shelf-disk.ts';
import type { ShelfFile } from './shelf-file.ts';

/** What a page gives to what keeps its shelf. */
export interface KeeperParts {
  readonly disk: ShelfDisk;
  readonly store: ChainedStore;
  readonly clock: Pick<Clock, 'steady'>;
  readonly random: () => number;
  /** Keeps two tabs from sending at the same time. */
  readonly locks: Pick<LockManager, 'request'>;
  /** The shelf behind a file; the signal stops what is under way. */
  readonly place: (file: ShelfFile, signal: AbortSignal) => Promise<Place>;
  /** The host of an address that the user has not confirmed yet; undefined when the page may talk to it. */
  readonly unconfirmed: (address: string) => string | undefined;
  /** By wifi or cable, as far as the browser tells. */
  readonly isFreeLink: () => boolean;
  /** Waits, at most so many ms, until the signal is aborted. */
  readonly wait: (ms: number, woken: AbortSignal) => Promise<void>;
}

/** What there is to see of the shelf. */
export type ShelfState =
  | { readonly kind: 'none' }
  | { readonly kind: 'off'; readonly setting: ShelfSetting }
  /** Switched on, but the page may not talk to the host until it was confirmed and the page loaded again. */
  | { readonly kind: 'unconfirmed'; readonly setting: ShelfSetting; readonly host: string }
  /** `outbox` is absent until this page sends: it has only begun, another tab of the browser does, or it only reads. */
  | { readonly kind: 'on'; readonly setting: ShelfSetting; readonly outbox?: Outbox };

/** As long after the last thing that was kept of a check as nothing is sent, in ms: never in the way of a check. */
const QUIET = 120_000;
/** Longest wait for anything: what nobody tells is seen then, in ms. */
const LOOK_AGAIN = 10 * 60_000;
/** After trouble with the device's own storage, in ms. */
const STORAGE_WAIT = 60_000;

/** Sends what is sealed to the shelf while it is switched on, as long as the page lives. */
export class ShelfKeeper {
  readonly #parts: KeeperParts;
  readonly #listeners = new Set<() => void>();
  #state: ShelfState = { kind: 'none' };
  #stop = new AbortController();
  #woken = new AbortController();
  #sender: Sender | undefined;
  #lastKept = -Infinity;

  constructor(parts: KeeperParts) {
    this.#parts = parts;
  }

  get state(): ShelfState {
    return this.#state;
  }

  /** Calls back after each change, until the returned function is called. */
  onChange(changed: () => void): () => void {
    this.#listeners.add(changed);
    return () => this.#listeners.delete(changed);
  }

  /** Reads what was set, and begins to send if it is on. */
  async begin(): Promise<void> {
    this.#stop.abort();
    const { signal } = (this.#stop = new AbortController());
    this.#sender = undefined;
    const setting = await this.#parts.disk.setting();
    if (signal.aborted) return;
    if (setting === undefined) this.#tell({ kind: 'none' });
    else if (!setting.on) this.#tell({ kind: 'off', setting });
    else {
      const host = this.#parts.unconfirmed(setting.file.place.address);
      if (host !== undefined) this.#tell({ kind: 'unconfirmed', setting, host });
      else {
        this.#tell({ kind: 'on', setting });
        if (setting.file.station !== undefined) void this.#send(setting, setting.file.station, signal);
      }
    }
  }

  /** Keeps another setting, or none, and goes on by it. */
  async set(setting: ShelfSetting | undefined): Promise<void> {
    await this.#parts.disk.set(setting);
    await this.begin();
  }

  /** Sends everything anew, for a shelf that has lost something; what it has it leaves as it is. */
  async again(): Promise<void> {
    await this.#parts.disk.forgetSent();
    await this.begin();
  }

  /** The shelf, to read it; only while it is on. */
  async open(signal: AbortSignal): Promise<Place | undefined> {
    return this.#state.kind === 'on' ? this.#parts.place(this.#state.setting.file, signal) : undefined;
  }

  /** Something of a check was kept: it runs. */
  kept(): void {
    this.#lastKept = this.#parts.clock.steady();
  }

  /** A check is over, or was signed. */
  look(): void {
    this.#lastKept = -Infinity;
    this.#sender?.look();
    this.#wake();
  }

  /** The network is back, or somebody does not want to wait. */
  hurry(): void {
    this.#sender?.hurry();
    this.#wake();
  }

  async #send(setting: ShelfSetting, station: string, signal: AbortSignal): Promise<void> {
    const { store, disk, locks, clock, random, place, isFreeLink } = this.#parts;
    try {
      // The browser frees the lock with the tab.
      await locks.request('two-needles shelf', { signal }, async () => {
        const own = (await store.packing()).signer.publicKey;
        const { sounds } = setting;
        const sender = new Sender({
          ...{ store, sent: disk, own, station, random, steady: clock.steady },
          place: await place(setting.file, signal),
          clips: () => sounds === 'any' || (sounds === 'wifi' && isFreeLink()),
        });
        this.#sender = sender;
        while (!signal.aborted) await this.#turn(sender, setting, signal);
      });
    } catch (error) {
      if (!signal.aborted) throw error;
    }
  }

  async #turn(sender: Sender, setting: ShelfSetting, signal: AbortSignal): Promise<void> {
    const { clock, wait } = this.#parts;
    const quiet = this.#lastKept + QUIET - clock.steady();
    if (quiet > 0) {
      await wait(quiet, this.#sleeping(signal));
      return;
    }
    // A tab whose storage does not answer holds nothing up: it looks again.
    const turn = await this.#asSet(sender, setting).catch((): Turn => ({ did: 'wait', ms: STORAGE_WAIT }));
    if (signal.aborted) return;
    if (turn === undefined) {
      await this.begin();
      return;
    }
    this.#tell({ kind: 'on', setting, outbox: sender.outbox });
    if (turn.did === 'put') return;
    const ms = turn.did === 'wait' ? Math.min(turn.ms, LOOK_AGAIN) : LOOK_AGAIN;
    await wait(ms, this.#sleeping(signal));
    if (turn.did === 'rest') sender.look();
  }

  /** Does one thing; undefined where another tab has set something else since, or switched the shelf off. */
  async #asSet(sender: Sender, setting: ShelfSetting): Promise<Turn | undefined> {
    const now = await this.#parts.disk.setting();
    return JSON.stringify(now) === JSON.stringify(setting) ? sender.turn() : undefined;
  }

  #sleeping(signal: AbortSignal): AbortSignal {
    this.#woken = new AbortController();
    return AbortSignal.any([this.#woken.signal, signal]);
  }

  #wake(): void {
    this.#woken.abort();
  }

  #tell(state: ShelfState): void {
    this.#state = state;
    for (const changed of this.#listeners) changed();
  }
}
