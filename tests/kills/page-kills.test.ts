import { describe, expect, it } from 'vitest';
import { drawn, seedOfRun } from '../support/seed.ts';
import { killChecks } from '../support/kills.ts';

/** `npm run bench -- kills` does the same two hundred times. */
const PROCESSES = 3;
const PAGES = 8;

describe(`a check whose page is killed at a random moment, seed ${seedOfRun()}`, () => {
  it('has every callout that was answered, goes on, and can be sealed', async () => {
    const { whole, killed } = await killChecks(PROCESSES, PAGES, drawn('page kills'));
    for (const { answered, found } of killed) {
      const heard = found?.heard ?? [];
      expect(heard.slice(0, answered.length)).toEqual(answered);
      // Besides, at most the one that was being answered.
      expect(heard.length - answered.length).toBeLessThanOrEqual(1);
      expect(found?.faults ?? []).toEqual([]);
    }
    // Else the moments were not in the middle of checks, and nothing was shown.
    const cut = killed.filter(({ answered }) => answered.length > 0 && answered.length < whole);
    expect(cut.length).toBeGreaterThan(killed.length / 4);
  });
});
