import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { availableParallelism } from 'node:os';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';

/**
 * `npm run bench -- busy [--times 10] [--quiet]`: `npm test` so many times, while a program of normal priority keeps every core busy.
 * Prints the time and the slowest file of each run, and ends with 1 when one of them failed.
 */
const { values } = parseArgs({
  options: { times: { type: 'string', default: '10' }, quiet: { type: 'boolean', default: false } },
});
const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const SPIN = 'for (let x = 1; ; x = (x * 16807) % 2147483647);';

const cores = availableParallelism();
const load: ChildProcess[] = values.quiet
  ? []
  : Array.from({ length: cores }, () => spawn(process.execPath, ['-e', SPIN], { stdio: 'ignore' }));
const seconds: number[] = [];
let failed = 0;
try {
  for (let nth = 1; nth <= Number(values.times); nth += 1) {
    const began = performance.now();
    const child = spawn('npm', ['test'], { cwd: ROOT, stdio: ['ignore', 'pipe', 'pipe'] });
    let said = '';
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding('utf8').on('data', (text: string) => (said += text));
    const [status] = (await once(child, 'close')) as [number | null];
    const took = (performance.now() - began) / 1000;
    seconds.push(took);
    const skipped = said.split('\n').filter((line) => line.startsWith('SKIPPED'));
    console.log(
      `busy: run ${nth}: ${status === 0 ? 'green' : 'RED'} in ${took.toFixed(0)} s, slowest ${slowestOf(said)}` +
        `, ${skipped.length} skipped`,
    );
    for (const line of skipped) console.log(`  ${line}`);
    if (status === 0) continue;
    failed += 1;
    console.log(said);
  }
} finally {
  for (const each of load) each.kill();
}
console.log(
  `busy: ${seconds.length - failed} of ${seconds.length} runs green beside ${load.length} busy processes on ${cores} cores, ` +
    `${Math.min(...seconds).toFixed(0)} to ${Math.max(...seconds).toFixed(0)} s; ${commit()}`,
);
process.exitCode = failed === 0 ? 0 : 1;

/** The test file that took longest, by its own line in the output. */
function slowestOf(said: string): string {
  const plain = said.replace(/\u001b\[[0-9;]*m/g, '');
  const files = [...plain.matchAll(/(\S+\.test\.ts) .*? (\d+)ms$/gm)].map(([, file = '', ms]) => ({
    file,
    ms: Number(ms),
  }));
  const slowest = files.reduce((most, each) => (each.ms > most.ms ? each : most), { file: 'none', ms: 0 });
  return `${slowest.file} (${(slowest.ms / 1000).toFixed(0)} s)`;
}

function commit(): string {
  const { stdout } = spawnSync('git', ['log', '-1', '--format=%h %s'], { cwd: ROOT, encoding: 'utf8' });
  return stdout.trim();
}
