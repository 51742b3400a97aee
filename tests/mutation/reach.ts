import { mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import process from 'node:process';
import { createFilesBehind } from './files-behind.ts';
import { hash, type Mutant } from './mutant.ts';
import type { Tester } from './testers.ts';

/** What one test file reaches, measured with no mutant active. */
export interface Reach {
  /** Of the test file and of everything else it may depend on. */
  readonly digest: string;
  readonly passed: boolean;
  readonly why: string;
  readonly processorMs: number;
  /** By mutant key: how often it was met, rounded down to a power of two. */
  readonly hits: Readonly<Record<string, number>>;
}

/** By path of the test file from the root. */
export type ReachOfTests = Readonly<Record<string, Reach>>;

/** Processor time that a new process needs to begin, ms. */
const BEGINNING_MS = 10_000;

/**
 * Runs every test file once, but those whose reach is known from `before` and those that have nothing to do with a mutated file; one
 * that takes longer than `longestMs` is given up.
 */
export async function measureReach(
  root: string,
  files: readonly string[],
  mutants: readonly Mutant[],
  before: ReachOfTests,
  testers: readonly Tester[],
  longestMs: number,
): Promise<ReachOfTests> {
  const shared = await digestOf(root);
  const keys = new Map(mutants.map(({ id, key }) => [id, key]));
  const mutated = new Set(mutants.map(({ file }) => file));
  const filesBehind = createFilesBehind(root);
  const found: Record<string, Reach> = {};
  await shareOut(files, testers, async (file, tester) => {
    const digest = hash(shared, await readFile(join(root, file), 'utf8'));
    const known = before[file];
    if (known?.digest === digest) found[file] = known;
    else if (![...(await filesBehind(file))].some((each) => mutated.has(each)))
      found[file] = { digest, passed: true, why: '', processorMs: 0, hits: {} };
    else found[file] = { digest, ...(await reachOf(join(root, file), keys, tester, longestMs + BEGINNING_MS)) };
  });
  return found;
}

async function reachOf(
  file: string,
  keys: ReadonlyMap<string, string>,
  tester: Tester,
  limitMs: number,
): Promise<Omit<Reach, 'digest'>> {
  const told = join(tmpdir(), `two-needles-reach-${process.pid}-${hash(file).slice(0, 16)}`);
  await writeFile(told, '');
  const result = await tester.run({ file, environment: { MUTATION_COVERAGE: told }, limitMs });
  const hits: Record<string, number> = {};
  for (const line of (await readFile(told, 'utf8')).split('\n')) {
    const [id = '', count = '0'] = line.split(' ');
    const key = keys.get(id);
    if (key !== undefined) hits[key] = Math.max(hits[key] ?? 0, Number(count));
  }
  await rm(told);
  if ('timedOut' in result) return { passed: true, why: '', processorMs: Infinity, hits };
  return { ...result, hits };
}

/** Everything that a test may depend on but the other tests. */
async function digestOf(root: string): Promise<string> {
  const names = (await Promise.all(['src', 'tests', 'grammars'].map((folder) => namesIn(root, folder)))).flat();
  const wanted = names.filter((name) => /\.(ts|mjs|json|jsgf|py)$/.test(name) && !name.endsWith('.test.ts')).sort();
  const texts = await Promise.all(wanted.map((name) => readFile(join(root, name), 'utf8')));
  return hash(...wanted, ...texts);
}

async function namesIn(root: string, folder: string): Promise<string[]> {
  const inside = await readdir(join(root, folder), { recursive: true, withFileTypes: true });
  return inside.filter((each) => each.isFile()).map((each) => relative(root, join(each.parentPath, each.name)));
}

/** Works through the list with every tester at once; each takes the next item when it is free. */
export async function shareOut<T>(
  list: readonly T[],
  testers: readonly Tester[],
  work: (item: T, tester: Tester) => Promise<void>,
): Promise<void> {
  const left = [...list];
  await Promise.all(
    testers.map(async (tester) => {
      for (let item = left.shift(); item !== undefined; item = left.shift()) await work(item, tester);
    }),
  );
}

export async function readJson<T>(path: string, otherwise: T): Promise<T> {
  return readFile(path, 'utf8').then(
    (text) => JSON.parse(text) as T,
    () => otherwise,
  );
}

export async function writeJson(path: string, value: unknown): Promise<void> {
  await mkdir(dirname(path), { recursive: true });
  await writeFile(path, JSON.stringify(value, undefined, 1));
}
