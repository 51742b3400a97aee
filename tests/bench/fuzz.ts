import fc from 'fast-check';
import { changed, changes, KINDS } from '../support/fuzz.ts';

/** Files of every kind that is read, with bytes changed, cut, doubled and moved: no exception, no hang, memory bounded. Prints one line. */
const INPUTS = Number(process.argv[2] ?? 100_000);
const SEED = Number(process.argv[3] ?? 31);

let [slowest, peak, thrown] = [0, 0, 0];
const began = performance.now();
for (const [name, bytes, read] of KINDS) {
  for (const each of fc.sample(changes, { numRuns: Math.ceil(INPUTS / KINDS.length), seed: SEED })) {
    const input = each.reduce(changed, bytes);
    const start = performance.now();
    try {
      await read(input);
    } catch (error) {
      thrown += 1;
      if (thrown <= 5)
        console.log(
          `${name}: ${JSON.stringify(each)} threw ${error instanceof Error ? (error.stack ?? '') : String(error)}`,
        );
    }
    slowest = Math.max(slowest, performance.now() - start);
    peak = Math.max(peak, process.memoryUsage.rss());
  }
}
console.log(
  `fuzz: ${KINDS.length * Math.ceil(INPUTS / KINDS.length)} inputs of ${KINDS.length} kinds in ${((performance.now() - began) / 1000).toFixed(0)} s, ` +
    `${thrown} exceptions, slowest ${slowest.toFixed(0)} ms, at most ${(peak / 2 ** 20).toFixed(0)} MB`,
);
