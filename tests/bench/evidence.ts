import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, watch } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/**
 * `hear --out` killed at random moments, most of them while it writes: each time the folder holds the whole evidence of one check, or
 * nothing. Prints one line.
 */
const KILLS = Number(process.argv[2] ?? 200);
const FILES = ['figures.csv', 'log.json', 'manifest.json', 'report.html', 'transcript.vtt'];

const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'evidence-'));
const out = join(folder, 'check');

interface Ended {
  readonly status: number | null;
  readonly said: string;
  /** Ms from its start, and from its first write into the folder, to its end. */
  readonly took: number;
  readonly wrote: number;
}

/** Starts a door, which is killed after so many ms, counted from its start or from its first write. */
function door(name: string, argv: readonly string[], kill?: { from: 'start' | 'write'; ms: number }): Promise<Ended> {
  const began = performance.now();
  let firstWrite: number | undefined;
  const child = spawn(process.execPath, ['--import', 'tsx', `src/cli/${name}.ts`, ...argv], { cwd: root });
  let said = '';
  child.stdout.on('data', (data) => (said += String(data)));
  let timer: ReturnType<typeof setTimeout> | undefined;
  const killIn = (from: 'start' | 'write'): void => {
    if (kill?.from === from) timer = setTimeout(() => child.kill('SIGKILL'), kill.ms);
  };
  killIn('start');
  const watcher = watch(folder, () => {
    if (firstWrite !== undefined) return;
    firstWrite = performance.now();
    killIn('write');
  });
  return new Promise((ended) =>
    child.on('close', (status) => {
      clearTimeout(timer);
      watcher.close();
      const now = performance.now();
      ended({ status, said, took: now - began, wrote: firstWrite === undefined ? 0 : now - firstWrite });
    }),
  );
}

const hear = ['public/demo/engine-31.vtt', '--rig', 'public/demo/engine-31.rig.json', '--out', out, '--force'];
try {
  await door('hear', hear);
  const { took, wrote } = await door('hear', hear);
  let [whole, half, lost, printed] = [0, 0, 0, 0];
  for (let nth = 0; nth < KILLS; nth += 1) {
    if (nth % 2 === 0) rmSync(out, { recursive: true, force: true });
    const kill =
      nth % 4 === 3
        ? ({ from: 'start', ms: took * Math.random() } as const)
        : ({ from: 'write', ms: 1.2 * wrote * Math.random() } as const);
    const { said } = await door('hear', hear, kill);
    const names = existsSync(out) ? readdirSync(out).sort() : [];
    if (names.join() === FILES.join()) whole += 1;
    else if (names.length > 0) half += 1;
    if (said.includes('Whole check:')) {
      printed += 1;
      if (names.length === 0) lost += 1;
    }
  }
  await door('hear', hear);
  const { status } = await door('verify', [out]);
  const left = readdirSync(folder).filter((name) => name !== 'check');
  console.log(
    `evidence: hear --out killed ${KILLS} times, most within the ${wrote.toFixed(0)} ms from its first write to its end, ${whole} times with whole evidence in the folder, ${half} with half, ` +
      `${printed} verdicts printed, ${lost} of them without evidence; afterwards verify says ${status ?? 'nothing'}, left beside: ${left.length === 0 ? 'nothing' : left.join(', ')}`,
  );
} finally {
  rmSync(folder, { recursive: true });
}
