import { join } from 'node:path';
import type { Mutant, Outcome } from './mutant.ts';
import { shareOut, type Reach, type ReachOfTests } from './reach.ts';
import type { Tester } from './testers.ts';

/** Processor time that a test file may use with a mutant: many times its own, and what a new process needs to begin; ms. */
const limitOf = ({ processorMs }: Reach): number => 5 * processorMs + 10_000;
/** Hits after which a mutant is taken for a loop without end; those measured are rounded down to a power of two. */
const hitLimitOf = (hits: number): number => 200 * hits + 1000;

/** Runs for each mutant the test files that reach it, until one fails; a mutant that timed out is tried again alone. */
export async function tryMutants(
  root: string,
  mutants: readonly Mutant[],
  reach: ReachOfTests,
  testers: readonly Tester[],
  tell: (mutant: Mutant, outcome: Outcome) => void,
): Promise<void> {
  const late: Mutant[] = [];
  /** How often a test file killed a mutant of a source file: it is asked first for the next. */
  const kills = new Map<string, number>();
  const killsOf = (test: string, { file }: Mutant): number => kills.get(`${test} ${file}`) ?? 0;
  const costOf = (test: string, mutant: Mutant): number =>
    (reach[test]?.processorMs ?? 0) / (1 + killsOf(test, mutant));

  const attempt = async (mutant: Mutant, tester: Tester, alone: boolean): Promise<Outcome | 'late'> => {
    const tests = testsReaching(mutant, reach).sort((a, b) => costOf(a, mutant) - costOf(b, mutant));
    if (tests.length === 0) return { fate: 'unreached' };
    for (const test of tests) {
      const known = reach[test];
      if (known === undefined) continue;
      const result = await tester.run({
        file: join(root, test),
        environment: {
          __STRYKER_ACTIVE_MUTANT__: mutant.id,
          MUTATION_HIT_LIMIT: String(hitLimitOf(known.hits[mutant.key] ?? 1)),
        },
        limitMs: limitOf(known) * (alone ? 2 : 1),
      });
      if ('timedOut' in result && !alone) return 'late';
      if ('timedOut' in result) return { fate: 'timed-out', by: test };
      if (result.passed) continue;
      kills.set(`${test} ${mutant.file}`, killsOf(test, mutant) + 1);
      return { fate: 'killed', by: test };
    }
    return { fate: 'survived' };
  };

  await shareOut(mutants, testers, async (mutant, tester) => {
    const outcome = await attempt(mutant, tester, false);
    if (outcome === 'late') late.push(mutant);
    else tell(mutant, outcome);
  });
  await shareOut(late, testers.slice(0, 1), async (mutant, tester) => {
    const outcome = await attempt(mutant, tester, true);
    if (outcome !== 'late') tell(mutant, outcome);
  });
}

/** The test files that reach a mutant and pass without it. */
export function testsReaching({ key }: Mutant, reach: ReachOfTests): string[] {
  return Object.entries(reach)
    .filter(([, { passed, hits }]) => passed && hits[key] !== undefined)
    .map(([test]) => test);
}
