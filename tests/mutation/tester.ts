import process from 'node:process';
import { createVitest } from 'vitest/node';
import type { TestRun, TestRunResult } from './testers.ts';

/** How often the processor time is looked at, ms. */
const WATCH_MS = 200;

// A process of its own: runs one test file at a time, with the mutant that the request names, until its parent is gone.
const [root = '.'] = process.argv.slice(2);
process.chdir(root);
// Worker threads, so that the processor time of this process is that of the tests.
const vitest = await createVitest('test', {
  root,
  project: ['node'],
  watch: false,
  pool: 'threads',
  maxWorkers: 1,
  fileParallelism: false,
  // What a module does when it is imported, it does under the mutant too.
  isolate: true,
  bail: 1,
  testTimeout: 30_000,
  reporters: [{}],
  passWithNoTests: true,
});
const specifications = new Map((await vitest.globTestSpecifications()).map((each) => [each.moduleId, each]));

function answer(result: TestRunResult): void {
  process.send?.(result);
}

function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

async function run({ file, environment, limitMs }: TestRun): Promise<void> {
  const specification = specifications.get(file);
  if (specification === undefined) {
    answer({ passed: false, why: 'no such test file', processorMs: 0 });
    return;
  }
  for (const [name, value] of Object.entries(environment)) process.env[name] = value;
  const before = processorMs();
  const watch = setInterval(() => {
    if (processorMs() - before < limitMs) return;
    // A thread in a loop takes no message: the whole process goes, and the parent starts another.
    process.send?.({ timedOut: true, gone: true }, () => process.exit(0));
  }, WATCH_MS);
  const result = await vitest.runTestSpecifications([specification]);
  // The result holds the files of earlier runs too, with what failed in them.
  const testModules = result.testModules.filter(({ moduleId }) => moduleId === file);
  clearInterval(watch);
  for (const name of Object.keys(environment)) Reflect.deleteProperty(process.env, name);
  const errors = testModules.flatMap((module) => [
    ...module.errors(),
    ...[...module.children.allTests()].flatMap((test) => test.result().errors ?? []),
    ...[...module.children.allSuites()].flatMap((suite) => suite.errors()),
  ]);
  const messages = [...errors.map(({ message }) => message), ...result.unhandledErrors.map(String)];
  // Vitest's own limits are of the wall clock, which a busy machine makes run faster.
  const late = messages.some((message) => /timed out in \d+ ?ms/i.test(message));
  const passed = messages.length === 0 && testModules.length > 0 && testModules.every((module) => module.ok());
  answer(
    late ? { timedOut: true, gone: false } : { passed, why: messages[0] ?? '', processorMs: processorMs() - before },
  );
}

process.on('message', (request: TestRun) => void run(request));
process.on('disconnect', () => process.exit(0));
process.send?.({ files: [...specifications.keys()] });
