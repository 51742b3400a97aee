import { parentPort, workerData } from 'node:worker_threads';
import { checkFile, type CheckedPlace } from './checked-files.ts';
import type { Asked } from './checked-log.ts';

/** What a worker is given: all files, and which share of each is its own. */
export interface Task {
  readonly files: readonly string[];
  readonly asked: Asked;
  readonly nth: number;
  readonly of: number;
}

/** What it tells: a place of the file under way, or that it is done with that file. */
export type Told = CheckedPlace | 'done';

const { files, asked, nth, of } = workerData as Task;
for (const [at, file] of files.entries()) {
  for await (const place of checkFile(file, asked, shareOf(at, nth, of))) parentPort?.postMessage(place satisfies Told);
  parentPort?.postMessage('done' satisfies Told);
}

/** The first share of each file falls to another worker: many files of one log each are shared evenly, too. */
function shareOf(file: number, worker: number, workers: number): { readonly nth: number; readonly of: number } {
  return { nth: (worker + workers - (file % workers)) % workers, of: workers };
}
