import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { join, relative } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { createCompiler } from './compiles.ts';
import { instrumentedCopy, sourcesUnder, type InstrumentedCopy } from './instrument.ts';
import { restsOn, type KnownOutcomes } from './known.ts';
import { hash, sampleOf, scoreOf, type Mutant, type Outcome } from './mutant.ts';
import { measureReach, readJson, writeJson, type ReachOfTests } from './reach.ts';
import { createTester, type Tester } from './testers.ts';
import { tryMutants } from './try-mutants.ts';

const USAGE = `npm run mutate -- PATH... [--sample N] [--seed S] [--since REF] [--tests FOLDER]... [--longest SECONDS] [--workers N] [--fresh]
  Changes the sources under PATH in one place at a time and tells which changes no test notices.
  --sample N         only N of the changes, chosen by --seed (printed; another each time when it is not given)
  --since REF        only files that differ from that commit
  --tests FOLDER     only these tests, when others are known to say nothing
  --longest SECONDS  leave out test files that take longer alone, processor time; default 20
  --workers N        processes that run tests; default 1
  --fresh            try again what earlier runs have tried; else what rests on files that have not changed is kept`;

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const REPORTS = join(ROOT, 'reports', 'mutation');

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: {
    sample: { type: 'string' },
    seed: { type: 'string' },
    since: { type: 'string' },
    tests: { type: 'string', multiple: true },
    longest: { type: 'string', default: '20' },
    workers: { type: 'string', default: '1' },
    fresh: { type: 'boolean', default: false },
  },
});

process.exitCode = await main();

async function main(): Promise<number> {
  const wrong = positionals.find((path) => !existsSync(join(ROOT, path)));
  if (positionals.length === 0 || wrong !== undefined) {
    console.error(wrong === undefined ? USAGE : `There is no ${wrong}.\n${USAGE}`);
    return 2;
  }
  const paths = values.since === undefined ? positionals : await changedSince(values.since, positionals);
  if (paths.length === 0) {
    console.log('Nothing there has changed.');
    return 0;
  }
  const copy = await instrumentedCopy(ROOT, paths);
  const testers = Array.from({ length: Number(values.workers) }, () => createTester(copy.root));
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    process.once(signal, () => {
      rmSync(copy.root, { recursive: true });
      process.exit(1);
    });
  }
  try {
    await report(copy, paths, testers);
    return 0;
  } finally {
    for (const tester of testers) tester.close();
    await rm(copy.root, { recursive: true });
  }
}

async function report(copy: InstrumentedCopy, paths: readonly string[], testers: readonly Tester[]): Promise<void> {
  const { mutants: all } = copy;
  const reach = await reachOfAll(copy, paths, testers);
  const seed = values.seed === undefined ? Math.floor(Math.random() * 1e6) : Number(values.seed);
  const count = values.sample === undefined ? all.length : Number(values.sample);
  const mutants = sampleOf(all, count, seed);
  console.log(
    `${mutants.length} of ${all.length} mutants${mutants.length < all.length ? `, chosen by --seed ${seed}` : ''}.`,
  );

  const outcomes = await outcomesOf(copy, mutants, reach, testers);
  printByFile(mutants, outcomes);
  printSurvivors(mutants, outcomes);
  const list = [...outcomes.values()];
  const fates = Object.entries(countBy(list, ({ fate }) => fate)).map(([fate, times]) => `${times} ${fate}`);
  const chosen = mutants.length < all.length ? `sample of ${mutants.length} of ${all.length}, seed ${seed}` : 'all';
  console.log(`\nScore ${scoreOf(list).toFixed(1)} % (${chosen}): ${fates.join(', ')}.`);
}

async function reachOfAll(
  { root, mutants }: InstrumentedCopy,
  paths: readonly string[],
  testers: readonly Tester[],
): Promise<ReachOfTests> {
  const place = join(REPORTS, `reach-${hash(...paths).slice(0, 12)}.json`);
  const before = await readJson<ReachOfTests>(place, {});
  const files = ((await testers[0]?.files()) ?? []).map((file) => relative(root, file));
  const wanted = files.filter((file) => values.tests?.some((folder) => file.startsWith(folder)) ?? true);
  console.log(`What do ${wanted.length} of ${files.length} test files reach?`);
  const longest = 1000 * Number(values.longest);
  const reach = await measureReach(root, wanted, mutants, before, testers, longest);
  await writeJson(place, {
    ...before,
    ...Object.fromEntries(Object.entries(reach).filter(([, { processorMs }]) => processorMs < Infinity)),
  });
  for (const [file, { passed, why }] of Object.entries(reach)) {
    if (!passed) console.log(`Left out, since it fails without any change: ${file}\n  ${why}`);
  }
  const long = Object.entries(reach).filter(([, { processorMs }]) => processorMs > longest);
  if (long.length > 0) console.log(`Left out, since they take too long: ${long.map(([file]) => file).join(', ')}`);
  return Object.fromEntries(Object.entries(reach).filter(([, { processorMs }]) => processorMs <= longest));
}

async function outcomesOf(
  copy: InstrumentedCopy,
  mutants: readonly Mutant[],
  reach: ReachOfTests,
  testers: readonly Tester[],
): Promise<ReadonlyMap<string, Outcome>> {
  const place = join(REPORTS, 'outcomes.json');
  const known = await readJson<KnownOutcomes>(place, {});
  const textOf = (file: string): string => copy.originals.get(file) ?? readFileSync(join(copy.root, file), 'utf8');
  const outcomes = new Map<string, Outcome>();
  const fresh: Record<string, KnownOutcomes[string]> = {};
  const tell = (mutant: Mutant, outcome: Outcome): void => {
    outcomes.set(mutant.key, outcome);
    fresh[mutant.key] = { ...outcome, rests: restsOn(mutant, outcome, reach, textOf) };
    const done = outcomes.size;
    if (done % 25 !== 0) return;
    console.log(`${done} of ${mutants.length} …`);
    void keep();
  };
  // Read again each time: another run may have added to it.
  const keep = async (): Promise<void> => writeJson(place, { ...(await readJson<KnownOutcomes>(place, {})), ...fresh });

  const left = mutants.filter((mutant) => {
    const before = known[mutant.key];
    if (values.fresh || before === undefined) return true;
    if (before.by !== undefined && reach[before.by] === undefined) return true;
    if (before.rests !== restsOn(mutant, before, reach, textOf)) return true;
    outcomes.set(mutant.key, before);
    return false;
  });
  if (left.length < mutants.length) console.log(`${mutants.length - left.length} of them are known from earlier runs.`);

  const compiles = createCompiler(copy);
  const taken = left.filter((mutant) => {
    const takes = compiles(mutant);
    if (!takes) tell(mutant, { fate: 'refused' });
    return takes;
  });
  await tryMutants(copy.root, taken, reach, testers, tell);
  await keep();
  return outcomes;
}

function printByFile(mutants: readonly Mutant[], outcomes: ReadonlyMap<string, Outcome>): void {
  const files = [...new Set(mutants.map(({ file }) => file))];
  for (const file of files) {
    const here = mutants.filter((mutant) => mutant.file === file).flatMap(({ key }) => outcomes.get(key) ?? []);
    console.log(`${scoreOf(here).toFixed(1).padStart(6)} %  of ${String(here.length).padStart(4)}  ${file}`);
  }
}

function printSurvivors(mutants: readonly Mutant[], outcomes: ReadonlyMap<string, Outcome>): void {
  for (const { key, file, start, original, replacement, mutator } of mutants) {
    const fate = outcomes.get(key)?.fate;
    if (fate !== 'survived' && fate !== 'unreached') continue;
    console.log(
      `${file}:${start.line + 1}:${start.column + 1} ${fate}, ${mutator}: ${brief(original)} -> ${brief(replacement)}`,
    );
  }
}

function brief(text: string): string {
  const line = text.replace(/\s+/g, ' ');
  return line.length <= 70 ? line : `${line.slice(0, 67)}…`;
}

function countBy<T>(list: readonly T[], of: (item: T) => string): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const item of list) counts[of(item)] = (counts[of(item)] ?? 0) + 1;
  return counts;
}

/** The files under the paths that differ from the commit, those not yet committed among them. */
async function changedSince(ref: string, paths: readonly string[]): Promise<string[]> {
  const git = (...args: string[]): string[] => execFileSync('git', args, { cwd: ROOT, encoding: 'utf8' }).split('\n');
  const changed = new Set([
    ...git('diff', '--name-only', ref, '--', ...paths),
    ...git('ls-files', '--others', '--exclude-standard', '--', ...paths),
  ]);
  return (await sourcesUnder(ROOT, paths)).filter((file) => changed.has(file));
}
