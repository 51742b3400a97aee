import { stat } from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { checkFile, type Checked } from './checked-files.ts';
import type { Asked } from './checked-log.ts';
import type { Task, Told } from './verify-worker.ts';
import { typescriptThread } from '../../hearing/worker/typescript-thread.ts';

/** Below so many bytes in all, starting workers takes longer than the work. */
const WORTH_WORKERS = 8 * 2 ** 20;
/** More wait for the disk. */
const MOST_WORKERS = 4;

/** Verifies the logs of files, in their order, on all cores when there is much to do. */
export async function* checkFiles(files: readonly string[], asked: Asked): AsyncGenerator<Checked> {
  const sizes = await Promise.all(
    files.map((file) =>
      stat(file)
        .then(({ size }) => size)
        .catch(() => 0),
    ),
  );
  const workers = Math.min(MOST_WORKERS, availableParallelism());
  if (workers < 2 || sizes.reduce((sum, size) => sum + size, 0) < WORTH_WORKERS) {
    for (const file of files) for await (const { checked } of checkFile(file, asked, { nth: 0, of: 1 })) yield* checked;
  } else yield* inParallel(files, asked, workers);
}

async function* inParallel(files: readonly string[], asked: Asked, of: number): AsyncGenerator<Checked> {
  const shares = Array.from({ length: of }, (_, nth) => new ToldBy({ files, asked, nth, of }));
  try {
    yield* inOrder(files.length, shares);
  } finally {
    for (const share of shares) share.end();
  }
}

/** What workers tell of so many files, each of its share and in order, put into the order of the places. */
export async function* inOrder(files: number, shares: readonly { next(): Promise<Told> }[]): AsyncGenerator<Checked> {
  for (let file = 0; file < files; file += 1) {
    const heads = await Promise.all(shares.map((share) => share.next()));
    const troubles = new Set<string>();
    for (;;) {
      const places = heads.map((head) => (head === 'done' ? undefined : head.at));
      const least = Math.min(...places.map((at) => at ?? Number.NaN).filter((at) => !Number.isNaN(at)));
      const nth = places.indexOf(least);
      const head = heads[nth];
      if (head === undefined || head === 'done') break;
      for (const each of head.checked) {
        // A file that breaks off does so for each worker.
        const trouble = head.at === Infinity ? JSON.stringify(each) : undefined;
        if (trouble === undefined || !troubles.has(trouble)) yield each;
        if (trouble !== undefined) troubles.add(trouble);
      }
      heads[nth] = (await shares[nth]?.next()) ?? 'done';
    }
  }
}

/** What one worker tells, one after the other. */
class ToldBy {
  readonly #worker: Worker;
  readonly #told: Told[] = [];
  #waiting: { readonly take: (told: Told) => void; readonly fail: (error: Error) => void } | undefined;
  #failed: Error | undefined;

  constructor(task: Task) {
    this.#worker = new Worker(typescriptThread(new URL('./verify-worker.ts', import.meta.url)), {
      eval: true,
      execArgv: [],
      workerData: task,
    });
    this.#worker.on('message', (told: Told) => {
      const waiting = this.#waiting;
      this.#waiting = undefined;
      if (waiting === undefined) this.#told.push(told);
      else waiting.take(told);
    });
    this.#worker.on('error', (error) => this.#fail(error instanceof Error ? error : new Error(String(error))));
    this.#worker.on('exit', () => this.#fail(new Error('a part of the program ended before its work was done.')));
  }

  next(): Promise<Told> {
    const told = this.#told.shift();
    if (told !== undefined) return Promise.resolve(told);
    if (this.#failed !== undefined) return Promise.reject(this.#failed);
    return new Promise((take, fail) => (this.#waiting = { take, fail }));
  }

  end(): void {
    this.#worker.removeAllListeners('exit');
    void this.#worker.terminate();
  }

  #fail(error: Error): void {
    this.#failed ??= error;
    this.#waiting?.fail(this.#failed);
    this.#waiting = undefined;
  }
}
