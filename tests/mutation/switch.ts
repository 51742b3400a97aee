// Imported first by every instrumented file. What a run wants is said by the environment, so that it holds in worker
// threads and child processes too.
import { appendFileSync } from 'node:fs';
import process from 'node:process';

/** What the instrumented code looks for. */
interface Instrumented {
  mutantCoverage?: { readonly static: object; readonly perTest: object };
  hitCount?: number;
  hitLimit?: number;
}

const { MUTATION_COVERAGE: told, MUTATION_HIT_LIMIT: limit } = process.env;
const instrumented = ((globalThis as { __stryker__?: Instrumented }).__stryker__ ??= {});

if (told !== undefined) instrumented.mutantCoverage ??= { static: countingInto(told), perTest: {} };
if (limit !== undefined) {
  // A loop that has lost its end is told by what it does, not by how long it takes.
  instrumented.hitCount ??= 0;
  instrumented.hitLimit = Number(limit);
}

/** Counts by mutant id; told at every power of two, since a worker thread may be ended at any moment. */
function countingInto(path: string): object {
  const hits = new Map<string, number>();
  return new Proxy(
    {},
    {
      get: (_, id: string) => hits.get(id),
      set: (_, id: string, count: number) => {
        hits.set(id, count);
        if (Number.isInteger(Math.log2(count))) appendFileSync(path, `${id} ${count}\n`);
        return true;
      },
    },
  );
}
