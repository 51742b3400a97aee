import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { createServer } from 'node:net';

/** A program that a test has started. */
export interface Running {
  readonly stop: () => Promise<void>;
}

/** True when all of these programs are on the PATH, or where systems keep servers. */
export function installed(...programs: readonly string[]): boolean {
  return programs.every((program) => spawnSync('which', [program], { env: serverEnv() }).status === 0);
}

function serverEnv(): NodeJS.ProcessEnv {
  return { ...process.env, PATH: `${process.env['PATH'] ?? ''}:/usr/sbin:/sbin` };
}

export async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  const address = server.address();
  await new Promise((closed) => server.close(closed));
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}

/** Starts a program that stays, at low priority; what it says goes to this program's own streams only when it fails. */
export function start(program: string, args: readonly string[]): Running & { readonly child: ChildProcess } {
  const child = spawn('nice', ['-n', '10', program, ...args], {
    env: serverEnv(),
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let said = '';
  child.stderr.on('data', (part: Buffer) => (said = `${said}${part.toString()}`.slice(-4000)));
  let wanted = true;
  const ended = new Promise<void>((resolve) =>
    child.on('close', (code) => {
      if (wanted) process.stderr.write(`${program} ended with ${code}: ${said}\n`);
      resolve();
    }),
  );
  return {
    child,
    async stop() {
      wanted = false;
      child.kill('SIGTERM');
      const late = setTimeout(() => child.kill('SIGKILL'), 10_000);
      await ended;
      clearTimeout(late);
    },
  };
}

/** Runs a program to its end, and gives what it says on either stream. */
export function run(program: string, args: readonly string[]): string {
  const { status, stdout, stderr } = spawnSync(program, args, { encoding: 'utf8', env: serverEnv(), timeout: 120_000 });
  if (status !== 0) throw new Error(`${program} ${args.join(' ')}: ${stderr}`);
  return `${stdout}${stderr}`;
}

/** Waits until an address answers anything. */
export async function answers(url: string): Promise<void> {
  for (let tries = 0; ; tries += 1) {
    try {
      await fetch(url);
      return;
    } catch (error) {
      if (tries >= 300) throw new Error(`${url} does not answer`, { cause: error });
      await new Promise((go) => setTimeout(go, 100));
    }
  }
}
