import { expect, it } from 'vitest';
import { breather } from '../../../src/record/pace.ts';

/** True when other work of the page had its turn before the promise was kept. */
async function letsOthersWork(breathe: () => Promise<void>): Promise<boolean> {
  let worked = false;
  const other = new Promise<void>((done) => setTimeout(() => done(void (worked = true))));
  await breathe();
  const before = worked;
  await other;
  return before;
}

it('lets the page live after 50 ms of work, and not before, by the clock that it was given', async () => {
  let now = 1000;
  const breathe = breather({ steady: () => now });
  now += 49;
  expect(await letsOthersWork(breathe)).toBe(false);
  now += 1;
  expect(await letsOthersWork(breathe)).toBe(true);
  expect(await letsOthersWork(breathe)).toBe(false);
});

it('ends the work once it is stopped', async () => {
  const stop = new AbortController();
  const breathe = breather({ signal: stop.signal });
  await breathe();
  stop.abort(new Error('stopped'));
  await expect(breathe()).rejects.toThrow('stopped');
});
