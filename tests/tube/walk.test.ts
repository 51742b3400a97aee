import { expect, it } from 'vitest';
import { placesOf } from '../../src/check/places.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { itemsOf, misjudged, planOf, walkBy } from '../support/tube/pre-trip.ts';
import { runTube } from '../support/tube/tube.ts';

// The whole pre-trip, 78 items and the air brake check, is `npm run bench -- pretrip`: a minute of processor time for each voice.
it('a place of the walk by voice, two items in one breath: each is in the log as the rig is, and the defect with its class', async () => {
  const plan = planOf('walk-round');
  const front = { ...plan, steps: plan.steps.filter(({ id }) => id === 'front') };
  const seeded = {
    voice: 'rms',
    defects: { 'cab-lock': { words: 'will not lock', class: 'out-of-service' } },
  } as const;
  const run = await runTube(await nodeHost(), { ...walkBy(seeded, front), ears: ['own'], longest: 120_000 });
  expect(run.finished).toBe(true);
  expect(misjudged(run, seeded)).toEqual([]);
  expect(itemsOf(run)).toHaveLength(placesOf(front).flatMap(({ items }) => items).length);
  expect(run.said).toHaveLength(3);
});
