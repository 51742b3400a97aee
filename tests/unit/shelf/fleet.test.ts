import { describe, expect, it } from 'vitest';
import { nodeXml } from '../../../src/cli/collect/node-xml.ts';
import { seedOfRun } from '../../support/seed.ts';
import { S3, shelfOf, standIn, WEBDAV } from '../../support/shelf/stand-in.ts';
import { shelfTrial } from '../../support/shelf/trial.ts';
import { only, startOf, Walk } from '../check/support/say.ts';

/** As short as a check can be: what is in it is of no matter to the shelf. */
const EVENTS = new Walk(startOf({ plan: only('approach') })).sayAll('chocks-set', 'walk-round-complete').events;

describe('a district’s tablets, killed and cut off for weeks', () => {
  it.each(['s3', 'webdav'] as const)('get every check onto a shelf of the kind %s once and unchanged', async (kind) => {
    const store = standIn(kind, () => '2026-07-01T00:00:00.000Z');
    const wall = (ahead = 0): string => new Date(Date.parse('2026-07-01T00:00:00.000Z') + ahead).toISOString();
    const { fetch } = store;
    const told = await shelfTrial(
      {
        ...{ devices: 3, checks: 24, weeks: 6, seed: seedOfRun(), events: EVENTS, fetch, wall },
        shelf: shelfOf(kind === 's3' ? S3 : WEBDAV),
        // What does not arrive whole is thrown away by a store.
        cut: () => Promise.resolve(),
      },
      { fetch, xml: nodeXml, wall },
    );
    expect(told.kills + told.cuts + told['lost answers']).toBeGreaterThan(0);
  });
});
