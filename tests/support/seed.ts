import { randomFrom } from '../../src/airsystem/scenario.ts';

const NAME = 'TWO_NEEDLES_SEED';

/**
 * The seed of everything that is drawn in the tests, a whole number from 0 to 4294967295: the one asked for (`npm test -- --seed N`, or
 * the variable TWO_NEEDLES_SEED), else one of this run.
 */
export function seedOfRun(): number {
  const asked = Number(process.env[NAME] ?? NaN);
  const seed = Number.isInteger(asked) && asked >= 0 && asked <= 0xffff_ffff ? asked : Date.now() >>> 0;
  process.env[NAME] = String(seed);
  return seed;
}

/** Numbers from 0 up to 1; the same for one run's seed and one `purpose`. */
export function drawn(purpose: string): () => number {
  let mixed = seedOfRun();
  for (const letter of purpose) mixed = (Math.imul(mixed, 31) + letter.charCodeAt(0)) >>> 0;
  return randomFrom(mixed);
}
