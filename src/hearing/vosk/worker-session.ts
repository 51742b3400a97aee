import { SAMPLE_RATE } from '../../units/time.ts';
import type { Progress } from '../port.ts';
import type { Listening } from './phrases.ts';
import { ARCHIVE_URL } from './engine-messages.ts';
import type { FromWorker, OpenVoskWorker, VoskWord, VoskWorker } from './engine-messages.ts';

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
  readonly #waiting = new Map<string, Waiting[]>();
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
  }

  /**
   * The words of one utterance. Every utterance gets a recogniser of its own, so that equal sounds give equal words, whatever
   * was said before. Rejects with `WorkerDeath` when the worker ends or stops answering.
   */
  async hear(samples: Float32Array, listening: Listening): Promise<VoskWord[]> {
    const stream = this.open(listening, true);
    const [accepted, rest] = await Promise.all([stream.accept(samples), stream.final(samples.length)]);
    return [...(accepted.ended ? accepted.words : []), ...rest];
  }

  /** A recogniser of its own that hears as the sound comes; rejects as `hear` does. Times of words count from its first sample. */
  open(listening: Listening, withTimes = false): VoskStream {
    this.prepare(listening);
    const id = this.#prepared?.id ?? '';
    this.#prepared = undefined;
    // Word times cost a lattice each time something is told, and then hold back the last word.
    if (withTimes) this.#worker.post({ action: 'set', recognizerId: id, key: 'words', value: true });
    return {
      accept: async (samples) => {
        const data = samples.map((sample) => sample * FULL_SCALE);
        const chunk = { action: 'audioChunk', recognizerId: id, data, sampleRate: SAMPLE_RATE } as const;
        const answer = await this.#ask(id, chunk, samples.length, [data.buffer]);
        return answer.event === 'result'
          ? { text: answer.result.text, words: answer.result.result ?? [], ended: true }
          : { text: answer.result.partial, words: [], ended: false };
      },
      final: async (waiting = 0) => {
        this.#worker.post({ action: 'set', recognizerId: id, key: 'words', value: true });
        const answer = await this.#ask(id, { action: 'retrieveFinalResult', recognizerId: id }, waiting);
        this.#remove(id);
        return answer.event === 'result' ? (answer.result.result ?? []) : [];
      },
      close: () => this.#remove(id),
    };
  }

  #remove(id: string): void {
    if (this.#dead === undefined) this.#worker.post({ action: 'remove', recognizerId: id });
  }

  /** The engine's answers to one recogniser come in the order of the questions. */
  #ask(
    id: string,
    message: Parameters<VoskWorker['post']>[0],
    samples = 0,
    transfer: Transferable[] = [],
  ): Promise<Answer> {
    return new Promise((resolve, reject) => {
      if (this.#dead !== undefined) {
        reject(this.#dead);
        return;
      }
      const patience = this.#patienceMs + (PATIENCE_PER_SOUND * 1000 * samples) / SAMPLE_RATE;
      const watchdog = setTimeout(() => this.#die('it stopped answering'), patience);
      const waiting: Waiting = { resolve, reject, settle: () => clearTimeout(watchdog) };
      const queue = this.#waiting.get(id);
      if (queue === undefined) this.#waiting.set(id, [waiting]);
      else queue.push(waiting);
      this.#worker.post(message, transfer);
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
    const id = 'recognizerId' in message ? (message.recognizerId ?? '') : '';
    const queue = this.#waiting.get(id);
    const waiting = queue?.shift();
    if (queue === undefined || waiting === undefined) {
      this.#onLoad?.(message);
      return;
    }
    if (queue.length === 0) this.#waiting.delete(id);
    waiting.settle();
    if (message.event === 'error') waiting.reject(new Error(message.error));
    else if (message.event === 'result' || message.event === 'partialresult') waiting.resolve(message);
  }

  #die(reason: string): void {
    if (this.#dead !== undefined) return;
    this.#dead = new WorkerDeath(`The vosk engine's worker is gone: ${reason}.`);
    clearInterval(this.#pulse);
    this.#worker.terminate();
    this.#onDeath?.(this.#dead);
    for (const waiting of [...this.#waiting.values()].flat()) {
      waiting.settle();
      waiting.reject(this.#dead);
    }
    this.#waiting.clear();
  }
}

interface Accepted {
  readonly text: string;
  /** With their times, where the recogniser was made for a whole utterance and has ended it by itself. */
  readonly words: readonly VoskWord[];
  readonly ended: boolean;
}

/** A recogniser that is fed bit by bit. */
export interface VoskStream {
  /** What has been heard so far, to within some 0.4 s; `ended` when the engine found the utterance complete. */
  accept(samples: Float32Array): Promise<Accepted>;
  /** All that was heard since the last end; the stream is over. `waiting`: samples that were accepted and not yet answered. */
  final(waiting?: number): Promise<readonly VoskWord[]>;
  close(): void;
}

type Answer = Extract<FromWorker, { readonly event: 'result' | 'partialresult' }>;

/** A question that was sent and is not yet answered. */
interface Waiting {
  resolve(answer: Answer): void;
  reject(error: Error): void;
  settle(): void;
}
