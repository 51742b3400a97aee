import { describe, it } from 'vitest';
import { nodeXml } from '../../../src/cli/collect/node-xml.ts';
import { openPlace } from '../../../src/shelf/open-place.ts';
import type { Place } from '../../../src/shelf/place.ts';
import type { ShelfFile } from '../../../src/shelf/shelf-file.ts';
import { CONTRACT, type Store } from '../../support/shelf/contract.ts';
import { S3, shelfOf, standIn, WEBDAV, WRITE_ONLY_S3, WRITE_ONLY_WEBDAV } from '../../support/shelf/stand-in.ts';

const NOW = '2026-05-04T08:00:00.000Z';

/** The stand-in as a store; real ones are asked the same by `npm run test:live`. */
function store(kind: 's3' | 'webdav'): Store {
  const { fetch } = standIn(kind, () => NOW, 3);
  const opened = (place: ShelfFile['place'], ahead = 0): Place =>
    openPlace(shelfOf(place), { fetch, xml: nodeXml, wall: () => new Date(Date.parse(NOW) + ahead).toISOString() });
  return kind === 's3'
    ? {
        open: (ahead) => opened(S3, ahead),
        writer: () => opened(WRITE_ONLY_S3),
        stranger: () => opened({ ...S3, secretAccessKey: 'wrong' }),
        many: 7,
      }
    : {
        open: (ahead) => opened(WEBDAV, ahead),
        writer: () => opened(WRITE_ONLY_WEBDAV),
        stranger: () => opened({ ...WEBDAV, password: 'wrong' }),
        many: 7,
      };
}

describe.each(['s3', 'webdav'] as const)('a shelf in a store of the kind %s', (kind) => {
  it.each(Object.keys(CONTRACT))('%s', async (name) => CONTRACT[name]?.(store(kind)));
});
