import { execFile } from 'node:child_process';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const PROGRAM = fileURLToPath(new URL('./short-hold-in-node.ts', import.meta.url));
const MOST_BYTES = 16e6;

declare module 'vitest/browser' {
  interface BrowserCommands {
    /** What comes of `SHORT_HOLD` in Node, as `tellOf` tells it. */
    shortHoldInNode(): Promise<string>;
  }
}

/** For tests in a page: runs the short hold in a Node of its own. */
export async function shortHoldInNode(): Promise<string> {
  const { stdout } = await promisify(execFile)(process.execPath, ['--import', 'tsx', PROGRAM], {
    maxBuffer: MOST_BYTES,
  });
  return stdout;
}
