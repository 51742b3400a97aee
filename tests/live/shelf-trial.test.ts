import { describe, expect, it } from 'vitest';
import { nodeXml } from '../../src/cli/collect/node-xml.ts';
import type { ShelfFile } from '../../src/shelf/shelf-file.ts';
import { startApache } from '../support/shelf/apache.ts';
import { CEPH, startCeph } from '../support/shelf/ceph.ts';
import { cutOnTheWire } from '../support/shelf/fleet.ts';
import { installed } from '../support/shelf/servers.ts';
import { shelfOf } from '../support/shelf/stand-in.ts';
import { shelfTrial } from '../support/shelf/trial.ts';
import { seedOfRun } from '../support/seed.ts';
import { skip } from '../support/skipped.ts';
import { wholeCheck } from '../unit/record/logs.ts';

/** Fifty tablets, two thousand checks, eight weeks: the size that is asked for. */
const SIZE = { devices: 50, checks: 2000, weeks: 8 };

async function trial(place: ShelfFile['place']): Promise<void> {
  const wall = (ahead = 0): string => new Date(Date.now() + ahead).toISOString();
  const web = { fetch: (url: string, init: RequestInit) => fetch(url, init), xml: nodeXml, wall };
  const seed = seedOfRun();
  const began = performance.now();
  const told = await shelfTrial(
    { ...SIZE, seed, shelf: shelfOf(place), events: wholeCheck(), fetch: web.fetch, wall, cut: cutOnTheWire },
    web,
  );
  console.log(
    `${place.kind}, seed ${seed}, ${((performance.now() - began) / 1000).toFixed(0)} s: ${JSON.stringify(told)}`,
  );
  expect(told.checks).toBe(SIZE.checks);
}

describe('two thousand checks of fifty tablets, killed and cut off for weeks', () => {
  it('are in a folder of Apache once and unchanged', async (context) => {
    if (!installed('apache2')) return skip(context, 'apache2 is not installed.');
    const apache = await startApache();
    try {
      await trial(apache.owner);
    } finally {
      await apache.stop();
    }
  });

  it('are in a bucket of Ceph once and unchanged', async (context) => {
    if (!installed(...CEPH)) return skip(context, 'radosgw, ceph-mon and ceph-osd are not installed.');
    const ceph = await startCeph();
    try {
      await trial(ceph.owner);
    } finally {
      await ceph.stop();
    }
  });
});
