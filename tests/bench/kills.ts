import { drawn, seedOfRun } from '../support/seed.ts';
import { killChecks, type Killed } from '../support/kills.ts';

/** Whole checks in Chromium, killed at 200 random moments: what was answered before must be on the disk. Prints one line. */
const PROCESSES = 50;
const PAGES = 150;

const { whole, killed } = await killChecks(PROCESSES, PAGES, drawn('kills'));
const count = (true_: (each: Killed) => boolean): number => killed.filter(true_).length;
const lost = killed.reduce((sum, { answered, found }) => {
  const heard = found?.heard ?? [];
  return sum + answered.filter((said, at) => heard[at] !== said).length;
}, 0);
const all = killed.reduce((sum, { answered }) => sum + answered.length, 0);
console.log(
  `kills: ${killed.length} checks killed, seed ${seedOfRun()} (${PROCESSES} with their process, ${PAGES} by taking the page down), ` +
    `${count(({ answered }) => answered.length > 0 && answered.length < whole)} between their first callout and their last; ` +
    `of ${all} answered callouts ${lost} lost (target 0); ` +
    `${count(({ found }) => (found?.faults.length ?? 0) > 0)} logs that do not verify once gone on with and sealed`,
);
