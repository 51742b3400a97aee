import type { TestContext } from 'vitest';

/** Begins the line of everything that was not tested; `npm test` counts and repeats them at its end. */
export const SKIPPED = 'SKIPPED';

/** Leaves a test out, and says so in the output and at the end of the run. */
export function skip(context: TestContext, why: string): never {
  tellSkipped(context.task.name, why);
  return context.skip(why);
}

/** Says that something is left out, where the tests themselves are left out by `skipIf`. */
function tellSkipped(what: string, why: string): void {
  process.stdout.write(`\n${SKIPPED}: ${what}: ${why}\n`);
}
