import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { changed, changes, KINDS } from '../../support/fuzz.ts';
import { seedOfRun } from '../../support/seed.ts';

/** A sample; `npm run bench -- fuzz` reads a hundred thousand. */
const EACH = 40;

describe('a file that was spoilt in a few places', () => {
  it.each(KINDS)('is read or refused, and throws nothing: a %s', async (name, bytes, read) => {
    const spoilt = fc.sample(changes, { numRuns: EACH, seed: seedOfRun() | 0 });
    for (const each of spoilt) {
      const input = each.reduce(changed, bytes);
      await expect(
        Promise.resolve()
          .then(() => read(input))
          .then(() => undefined),
        `${name}: ${JSON.stringify(each)}`,
      ).resolves.toBeUndefined();
    }
  });
});
