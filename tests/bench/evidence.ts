import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** `hear --out` killed at random moments: each time the folder holds the whole evidence of one check, or nothing. Prints one line. */
const KILLS = Number(process.argv[2] ?? 200);
const FILES = ['figures.csv', 'log.json', 'manifest.json', 'report.html', 'transcript.vtt'];

const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'evidence-'));
const out = join(folder, 'check');

/** Starts a door; gives its status and what it printed, or undefined when it was killed after `ms`. */
function door(name: string, argv: readonly string[], ms?: number): Promise<{ status: number | null; said: string }> {
  const child = spawn(process.execPath, ['--import', 'tsx', `src/cli/${name}.ts`, ...argv], { cwd: root });
  let said = '';
  child.stdout.on('data', (data) => (said += String(data)));
  const timer = ms === undefined ? undefined : setTimeout(() => child.kill('SIGKILL'), ms);
  return new Promise((ended) =>
    child.on('close', (status) => {
      clearTimeout(timer);
      ended({ status, said });
    }),
  );
}

const hear = ['public/demo/engine-31.vtt', '--rig', 'public/demo/engine-31.rig.json', '--out', out, '--force'];
try {
  const began = performance.now();
  await door('hear', hear);
  const length = performance.now() - began;
  let [whole, half, lost, printed] = [0, 0, 0, 0];
  for (let nth = 0; nth < KILLS; nth += 1) {
    if (nth % 2 === 0) rmSync(out, { recursive: true, force: true });
    // The second half of the time is where it writes.
    const { said } = await door('hear', hear, length * (0.4 + 0.7 * Math.random()));
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
    `evidence: hear --out killed ${KILLS} times within ${length.toFixed(0)} ms, ${whole} times with whole evidence in the folder, ${half} with half, ` +
      `${printed} verdicts printed, ${lost} of them without evidence; afterwards verify says ${status ?? 'nothing'}, left beside: ${left.length}`,
  );
} finally {
  rmSync(folder, { recursive: true });
}
