import { SAMPLE_RATE } from '../../units/time.ts';
import type { Progress } from '../port.ts';
import type { Listening } from './phrases.ts';
import { ARCHIVE_URL } from './protocol.ts';
import type { FromWorker, OpenVoskWorker, VoskWord, VoskWorker } from './protocol.ts';

/** Why a worker is of no further use: it ended, or it stopped answering. */
export class WorkerDeath extends Error {}

/** On top of the patience: this many times the length of the utterance. */
const PATIENCE_PER_SOUND = 4;
/** How often an idle worker is asked for a sign of life. */
const PULSE_MS = 1000;
/** Share of the progress bar for taking in the archive; unpacking and building the model are the rest. */
const READING_SHARE = 0.8;
/** Quiet: the engine's own messages are for its developers. */
const LOG_LEVEL = -2;
/** Vosk expects the range of 16-bit samples. */
const FULL_SCALE = 32_768;

/** One life of one worker with its model loaded. */
export class VoskSession {
  readonly #worker: VoskWorker;
  readonly #patienceMs: number;
  readonly #lost: (death: WorkerDeath) => void;
  readonly #waiting = new Map<string, Waiting>();
  #dead: WorkerDeath | undefined;
  #onLoad: ((message: FromWorker) => void) | undefined;
  #onDeath: ((death: WorkerDeath) => void) | undefined;
  #prepared: { readonly id: string; readonly listening: Listening } | undefined;
  #serial = 0;
  #pulse: ReturnType<typeof setInterval> | undefined;
  /** Signs of life asked for since the last one came. */
  #missed = 0;

  /** `lost` is called when the worker is gone without having been ended, once it had loaded. */
  constructor(open: OpenVoskWorker, patienceMs: number, lost: (death: WorkerDeath) => void = () => undefined) {
    this.#patienceMs = patienceMs;
    this.#lost = lost;
    this.#worker = open({
      message: (message) => this.#take(message),
      death: (reason) => this.#die(reason),
    });
  }

  get alive(): boolean {
    return this.#dead === undefined;
  }

  /** Rejects with the engine's own words when the archive cannot be loaded. */
  async load(archive: Blob, onProgress: Progress): Promise<void> {
    await new Promise<void>((resolve, reject) => {
      this.#onDeath = reject;
      if (this.#dead !== undefined) reject(this.#dead);
      this.#onLoad = (message) => {
        if (message?.event === 'archive') onProgress((READING_SHARE * message.read) / Math.max(1, message.total));
        if (message?.event === 'error') reject(new Error(message.error));
        if (message?.event === 'load') resolve();
      };
      this.#worker.post({ action: 'set', key: 'logLevel', value: LOG_LEVEL });
      this.#worker.post({ action: 'archive', archive });
      this.#worker.post({ action: 'load', modelUrl: ARCHIVE_URL, wasmUrl: this.#worker.wasmUrl });
    });
    onProgress(1);
    this.#onDeath = this.#lost;
    this.#pulse = setInterval(() => this.#beat(), PULSE_MS);
  }

  /** Builds the recogniser for the next utterance ahead of time, so that building is not part of its latency. */
  prepare(listening: Listening): void {
    if (this.#dead !== undefined || this.#prepared?.listening === listening) return;
    if (this.#prepared !== undefined) this.#worker.post({ action: 'remove', recognizerId: this.#prepared.id });
    this.#serial += 1;
    const id = `utterance-${this.#serial}`;
    this.#prepared = { id, listening };
    const { phrases: grammar, ...rest } = listening;
    this.#worker.post({ action: 'create', recognizerId: id, sampleRate: SAMPLE_RATE, grammar, ...rest });
    this.#worker.post({ action: 'set', recognizerId: id, key: 'words', value: true });
  }

  /**
   * The words of one utterance. Every utterance gets a recogniser of its own, so that equal sounds give equal words, whatever
   * was said before. Rejects with `WorkerDeath` when the worker ends or stops answering.
   */
  hear(samples: Float32Array, listening: Listening): Promise<VoskWord[]> {
    this.prepare(listening);
    const id = this.#prepared?.id ?? '';
    this.#prepared = undefined;
    return new Promise((resolve, reject) => {
      if (this.#dead !== undefined) {
        reject(this.#dead);
        return;
      }
      const patience = this.#patienceMs + (PATIENCE_PER_SOUND * 1000 * samples.length) / SAMPLE_RATE;
      const watchdog = setTimeout(() => this.#die('it stopped answering'), patience);
      this.#waiting.set(id, {
        words: [],
        chunkAnswered: false,
        resolve,
        reject,
        settle: () => {
          clearTimeout(watchdog);
          this.#waiting.delete(id);
          this.#worker.post({ action: 'remove', recognizerId: id });
        },
      });
      const data = samples.map((sample) => sample * FULL_SCALE);
      this.#worker.post({ action: 'audioChunk', recognizerId: id, data, sampleRate: SAMPLE_RATE }, [data.buffer]);
      this.#worker.post({ action: 'retrieveFinalResult', recognizerId: id });
    });
  }

  end(): void {
    this.#onDeath = undefined;
    this.#die('it was closed');
  }

  /** Browsers do not always say that a worker was killed: the next callout should not be what finds out. */
  #beat(): void {
    // One that is hearing answers late, and its utterance is watched by itself.
    if (this.#waiting.size > 0) this.#missed = 0;
    else if (this.#missed * PULSE_MS >= this.#patienceMs) this.#die('it stopped answering');
    else {
      this.#missed += 1;
      this.#worker.post({ action: 'ping' });
    }
  }

  #take(message: FromWorker): void {
    if (message === undefined) return;
    this.#missed = 0;
    if (message.event === 'alive') return;
    const waiting = 'recognizerId' in message ? this.#waiting.get(message.recognizerId ?? '') : undefined;
    if (waiting === undefined) {
      this.#onLoad?.(message);
      return;
    }
    if (message.event === 'error') {
      waiting.settle();
      waiting.reject(new Error(message.error));
      return;
    }
    if (message.event === 'result') waiting.words.push(...(message.result.result ?? []));
    if (!waiting.chunkAnswered) {
      waiting.chunkAnswered = true;
      return;
    }
    waiting.settle();
    waiting.resolve(waiting.words);
  }

  #die(reason: string): void {
    if (this.#dead !== undefined) return;
    this.#dead = new WorkerDeath(`The vosk engine's worker is gone: ${reason}.`);
    clearInterval(this.#pulse);
    this.#worker.terminate();
    this.#onDeath?.(this.#dead);
    for (const waiting of [...this.#waiting.values()]) {
      waiting.settle();
      waiting.reject(this.#dead);
    }
  }
}

/** An utterance that was sent and not yet answered: first its sound is, then the request for the rest. */
interface Waiting {
  readonly words: VoskWord[];
  chunkAnswered: boolean;
  resolve(words: VoskWord[]): void;
  reject(error: Error): void;
  settle(): void;
}
