import { spawn } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { availableParallelism, setPriority } from 'node:os';
import { delimiter, join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { seedOfRun } from './support/seed.ts';
import { SKIPPED } from './support/skipped.ts';

const USAGE = `npm test [-- --seed N]      every check and every test that does not need minutes of sound in real time
npm run check               types, lint, format, room rules, unused code
npm run test:live           the long checks that are played to a browser in real time

  --seed N   draws the same random cases as a run that printed this seed`;

const ROOT = fileURLToPath(new URL('..', import.meta.url));

interface Task {
  readonly name: string;
  readonly command: readonly string[];
  /** It tries what was built, waits for it, and is left out when there is nothing. */
  readonly needsBuild?: true;
  /** It takes what the others leave of the machine, from the build on: most of what plays to a browser waits. */
  readonly givesWay?: true;
  /** What it says is shown while it says it, not only when it ends badly. */
  readonly aloud?: true;
}

/** A third of what others get where all cores are busy: beside a stranger's program it has to come to its end as well. */
const POLITE = 5;

const vitest = (name: string, ...more: readonly string[]): Task => ({
  name,
  command: ['vitest', 'run', '--project', name, ...more],
  aloud: true,
});

/** The native compiler checks in a fifth of the time; what reads sources by the compiler's library has the one before it. */
const TSC = ['node', join(ROOT, 'node_modules/typescript-native/bin/tsc')];

const CHECKS: readonly Task[] = [
  { name: 'types', command: [...TSC, '--noEmit'] },
  { name: 'types of each world', command: [...TSC, '--build', ...worlds()] },
  { name: 'unused code', command: ['knip'] },
  { name: 'lint', command: ['oxlint', '--type-aware', '--deny-warnings', '.'] },
  { name: 'format', command: ['oxfmt', '--check', '.'] },
  { name: 'room rules', command: ['depcruise', 'src', '--config', '.dependency-cruiser.cjs'] },
];
const BUILD: Task = { name: 'build', command: ['npm', 'run', '-s', 'build'] };
const onBuilt = (name: string, ...more: readonly string[]): Task => ({ ...vitest(name, ...more), needsBuild: true });

/** In order; the tasks run side by side, as many as the machine has cores, and one that gives way beside them. */
const RUNS: Readonly<Record<string, readonly Task[]>> = {
  check: CHECKS,
  test: [
    BUILD,
    ...CHECKS,
    // What is played in real time waits most of its time: beside it there is one that needs one core.
    ...[onBuilt('e2e'), vitest('browser'), onBuilt('built')],
    { ...onBuilt('node', '--maxWorkers=100%'), givesWay: true },
  ],
  live: [BUILD, onBuilt('live')],
};

const { values, positionals } = parseArgs({ allowPositionals: true, options: { seed: { type: 'string' } } });
const tasks = RUNS[positionals[0] ?? 'test'];
if (tasks === undefined) {
  console.error(USAGE);
  process.exit(2);
}
if (values.seed !== undefined) process.env['TWO_NEEDLES_SEED'] = values.seed;
if (positionals[0] !== 'check')
  console.log(`Seed ${seedOfRun()}; \`npm test -- --seed ${seedOfRun()}\` draws the same again.`);

const began = performance.now();
const skipped: string[] = [];
const failed: string[] = [];
await sideBySide(tasks);
for (const line of skipped) console.log(line);
if (skipped.length > 0) console.log(`${skipped.length} SKIPPED, see above: they say nothing about this tree.`);
console.log(`${failed.length === 0 ? 'All good' : `FAILED: ${failed.join(', ')}`} after ${seconds(began)} s.`);
process.exitCode = failed.length === 0 ? 0 : 1;

async function sideBySide(tasks: readonly Task[]): Promise<void> {
  let built: Promise<void> | undefined;
  const work = async (waiting: Task[]): Promise<void> => {
    for (let task = waiting.shift(); task !== undefined; task = waiting.shift()) {
      if (task.needsBuild === true) await built;
      if (task.needsBuild === true && failed.includes(BUILD.name)) continue;
      const running = run(task);
      if (task === BUILD) built = running;
      await running;
    }
  };
  const polite = tasks.filter(({ givesWay }) => givesWay === true);
  const others = tasks.filter((task) => !polite.includes(task));
  const lanes = Array.from({ length: Math.max(2, availableParallelism()) }, () => work(others));
  await Promise.all([...lanes, work(polite)]);
}

async function run({ name, command: [program = '', ...args], aloud, givesWay }: Task): Promise<void> {
  const start = performance.now();
  let said = '';
  const child = spawn(program, args, {
    cwd: ROOT,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, PATH: `${join(ROOT, 'node_modules', '.bin')}${delimiter}${process.env['PATH'] ?? ''}` },
  });
  if (givesWay === true && child.pid !== undefined) setPriority(child.pid, POLITE);
  for (const stream of [child.stdout, child.stderr]) {
    stream.setEncoding('utf8').on('data', (text: string) => {
      said += text;
      if (aloud === true) process.stdout.write(text);
    });
  }
  const status = await new Promise<number>((resolve) => {
    child.on('error', (error) => {
      said += error.message;
      resolve(1);
    });
    child.on('close', (code) => resolve(code ?? 1));
  });
  skipped.push(...said.split('\n').filter((line) => line.startsWith(SKIPPED)));
  if (status !== 0) {
    failed.push(name);
    if (aloud !== true) console.log(said.trimEnd());
  }
  console.log(`${status === 0 ? '✓' : '✕'} ${name} (${seconds(start)} s)`);
}

/** The type checker's settings of each place the code runs in. */
function worlds(): string[] {
  return readdirSync(join(ROOT, 'src'))
    .filter((name) => /^tsconfig\..*\.json$/.test(name))
    .map((name) => join('src', name));
}

function seconds(since: number): string {
  return ((performance.now() - since) / 1000).toFixed(0);
}
