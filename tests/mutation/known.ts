import { hash, type Mutant, type Outcome } from './mutant.ts';
import type { ReachOfTests } from './reach.ts';
import { testsReaching } from './try-mutants.ts';

/** Outcomes of earlier runs, by mutant key; `rests` is a digest of what the outcome rests on. */
export type KnownOutcomes = Readonly<Record<string, Outcome & { readonly rests: string }>>;

/** The texts an outcome rests on: the mutated file, and the test that killed it or all tests that did not. */
export function restsOn(
  mutant: Mutant,
  { fate, by }: Outcome,
  reach: ReachOfTests,
  textOf: (file: string) => string,
): string {
  const tests = fate === 'refused' ? [] : by === undefined ? testsReaching(mutant, reach).sort() : [by];
  return hash(textOf(mutant.file), ...tests, ...tests.map(textOf));
}
