import { afterAll, beforeAll, describe, it } from 'vitest';
import { nodeXml } from '../../src/cli/collect/node-xml.ts';
import { openPlace } from '../../src/shelf/open-place.ts';
import type { Place } from '../../src/shelf/place.ts';
import type { ShelfFile } from '../../src/shelf/shelf-file.ts';
import { startApache, type Apache } from '../support/shelf/apache.ts';
import { CEPH, startCeph, type Ceph } from '../support/shelf/ceph.ts';
import { CONTRACT, type Store } from '../support/shelf/contract.ts';
import { installed } from '../support/shelf/servers.ts';
import { shelfOf } from '../support/shelf/stand-in.ts';
import { skip } from '../support/skipped.ts';

const web = (ahead = 0) => ({
  fetch: (url: string, init: RequestInit) => fetch(url, init),
  xml: nodeXml,
  wall: () => new Date(Date.now() + ahead).toISOString(),
});
const opened = (place: ShelfFile['place'], ahead?: number): Place => openPlace(shelfOf(place), web(ahead));

/** What the stand-in of `npm test` was written after: the same cases, asked of stores that others have made. */
describe('a WebDAV folder of Apache', () => {
  let apache: Apache | undefined;
  beforeAll(async () => {
    if (installed('apache2')) apache = await startApache();
  });
  afterAll(() => apache?.stop());

  for (const [name, asks] of Object.entries(CONTRACT))
    it(name, async (context) => {
      if (apache === undefined) return skip(context, 'apache2 is not installed.');
      const { owner, writer } = apache;
      const store: Store = {
        open: (ahead) => opened(owner, ahead),
        writer: () => opened(writer),
        stranger: () => opened({ ...owner, password: 'wrong' }),
        many: 1200,
      };
      return asks(store);
    });
});

describe('a bucket of Ceph', () => {
  let ceph: Ceph | undefined;
  beforeAll(async () => {
    if (installed(...CEPH)) ceph = await startCeph();
  });
  afterAll(() => ceph?.stop());

  for (const [name, asks] of Object.entries(CONTRACT))
    it(name, async (context) => {
      if (ceph === undefined) return skip(context, 'radosgw, ceph-mon and ceph-osd are not installed.');
      const { owner, writer } = ceph;
      const store: Store = {
        open: (ahead) => opened(owner, ahead),
        writer: () => opened(writer),
        stranger: () => opened({ ...owner, secretAccessKey: 'wrong' }),
        many: 1200,
      };
      return asks(store);
    });
});
