import { fork, type ChildProcess } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** One run of one test file in the instrumented copy. */
export interface TestRun {
  /** Absolute path of the test file. */
  readonly file: string;
  /** What `switch.ts` and the instrumented files read. */
  readonly environment: Readonly<Record<string, string>>;
  /** Processor time after which the run is given up, ms. */
  readonly limitMs: number;
}

export type TestRunResult =
  | { readonly passed: boolean; readonly why: string; readonly processorMs: number }
  | { readonly timedOut: true; /** The process ended with it. */ readonly gone: boolean };

/** A process that runs test files, one at a time, and is started again when one of them had to be given up. */
export interface Tester {
  run(run: TestRun): Promise<TestRunResult>;
  /** Absolute paths of all test files. */
  files(): Promise<readonly string[]>;
  close(): void;
}

/** A tester that says nothing for this long hangs without using the processor, ms of the wall clock. */
const SILENT_MS = 240_000;

export function createTester(root: string): Tester {
  let child: ChildProcess | undefined;
  let started: Promise<readonly string[]> | undefined;

  const start = (): Promise<readonly string[]> => {
    const begun = fork(fileURLToPath(new URL('./tester.ts', import.meta.url)), [root, '--project', 'node'], {
      execArgv: ['--import', 'tsx'],
      // What a test prints is no news here.
      stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
    });
    child = begun;
    started = new Promise((resolve, reject) => {
      begun.once('message', (message: { files: readonly string[] }) => resolve(message.files));
      begun.once('error', reject);
      begun.once('exit', () => reject(new Error('A tester ended before it could begin.')));
    });
    return started;
  };

  return {
    files: () => started ?? start(),
    async run(request) {
      await (started ?? start());
      const running = child;
      if (running === undefined) throw new Error('A tester that was started has a process.');
      return new Promise((resolve) => {
        const giveUp = (): void => settle({ timedOut: true, gone: true });
        const silent = setTimeout(() => {
          running.kill('SIGKILL');
          giveUp();
        }, SILENT_MS);
        const settle = (result: TestRunResult): void => {
          clearTimeout(silent);
          running.off('exit', giveUp);
          running.off('message', settle);
          if ('gone' in result && result.gone) child = started = undefined;
          resolve(result);
        };
        running.once('exit', giveUp);
        running.once('message', settle);
        running.send(request);
      });
    },
    close() {
      child?.disconnect();
      child = started = undefined;
    },
  };
}
