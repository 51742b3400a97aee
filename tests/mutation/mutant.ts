import { createHash } from 'node:crypto';

/** One change to one place of the source. */
export interface Mutant {
  /** The number that switches it on in the instrumented copy. */
  readonly id: string;
  /** Its name over several runs: file, place and replacement. */
  readonly key: string;
  /** Path from the repository's root. */
  readonly file: string;
  readonly mutator: string;
  /** Lines and columns from 0. */
  readonly start: Place;
  readonly end: Place;
  readonly original: string;
  readonly replacement: string;
}

export interface Place {
  readonly line: number;
  readonly column: number;
}

/**
 * - `killed`: a test failed with it. `timed-out`: twice, the second time alone, a test used many times its processor time.
 * - `survived`: every test that reaches it passed. `unreached`: no test reaches it.
 * - `refused`: the compiler does not take it, so it could never be in the product; it is left out of the score.
 */
type Fate = 'killed' | 'timed-out' | 'survived' | 'unreached' | 'refused';

export interface Outcome {
  readonly fate: Fate;
  /** The test file that killed it. */
  readonly by?: string;
}

/** Killed ones in 100 of those that the compiler takes. */
export function scoreOf(outcomes: readonly Outcome[]): number {
  const taken = outcomes.filter(({ fate }) => fate !== 'refused');
  const killed = taken.filter(({ fate }) => fate === 'killed' || fate === 'timed-out');
  return (100 * killed.length) / Math.max(1, taken.length);
}

/** `count` of the mutants in their order; the same seed chooses the same ones of code that has not changed. */
export function sampleOf(list: readonly Mutant[], count: number, seed: number): readonly Mutant[] {
  const order = new Map(list.map((mutant) => [mutant, hash(String(seed), mutant.key)]));
  const chosen = new Set(
    list.toSorted((a, b) => ((order.get(a) ?? '') < (order.get(b) ?? '') ? -1 : 1)).slice(0, count),
  );
  return list.filter((mutant) => chosen.has(mutant));
}

export function hash(...texts: readonly string[]): string {
  const sum = createHash('sha256');
  for (const text of texts) sum.update(text).update('\0');
  return sum.digest('hex');
}

/** Where a place of the text lies in it. */
export function offsetOf(text: string, { line, column }: Place): number {
  let at = 0;
  for (let left = line; left > 0; left -= 1) at = text.indexOf('\n', at) + 1;
  return at + column;
}

/** The file with the mutant in it, as the compiler would see it. */
export function withMutant(text: string, { start, end, replacement }: Mutant): string {
  return text.slice(0, offsetOf(text, start)) + replacement + text.slice(offsetOf(text, end));
}
