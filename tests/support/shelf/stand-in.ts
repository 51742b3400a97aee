import { AwsV4Signer } from 'aws4fetch';
import type { S3Address, ShelfFile, WebdavAddress } from '../../../src/shelf/shelf-file.ts';

/** What S3-compatible stores allow between the two clocks, in ms. */
const MOST_APART = 15 * 60_000;

/** A store in this very process, which answers requests as real ones were seen to: `tests/live/shelf.test.ts` asks both the same. */
export interface StandIn {
  readonly fetch: (url: string, init: RequestInit) => Promise<Response>;
  readonly objects: Map<string, Uint8Array<ArrayBuffer>>;
  /** Requests that came, as `METHOD name`. */
  readonly asked: string[];
}

export const S3: S3Address = {
  kind: 's3',
  address: 'https://store.test/checks',
  region: 'us-east-1',
  accessKeyId: 'TWONEEDLES',
  secretAccessKey: 'invented-secret',
};
export const WRITE_ONLY_S3: S3Address = { ...S3, accessKeyId: 'WRITEONLY', secretAccessKey: 'another-secret' };
export const WEBDAV: WebdavAddress = {
  kind: 'webdav',
  address: 'https://store.test/checks',
  user: 'station',
  password: 'invented: ä',
};
export const WRITE_ONLY_WEBDAV: WebdavAddress = { ...WEBDAV, user: 'tablet' };

export function shelfOf(place: ShelfFile['place'], more: Partial<ShelfFile> = {}): ShelfFile {
  const file = { format: 'two-needles-shelf', version: 1, name: 'Tamarack Flats', station: 'station-3' } as const;
  return { ...file, keys: [], place, ...more };
}

interface Asked {
  readonly method: string;
  readonly url: URL;
  readonly name: string;
  readonly headers: Headers;
  readonly body: Uint8Array<ArrayBuffer>;
}

/** `now`: the store's own clock, ISO 8601. `page`: names in one part of a list. */
export function standIn(kind: 's3' | 'webdav', now: () => string, page = 1000): StandIn {
  const objects = new Map<string, Uint8Array<ArrayBuffer>>();
  const asked: string[] = [];
  const answer = kind === 's3' ? bucket(objects, now, page) : folder(objects);
  return {
    objects,
    asked,
    async fetch(url, init) {
      init.signal?.throwIfAborted();
      const at = new URL(url);
      const name = decodeURIComponent(at.pathname).replace(/^\/checks\/?/, '');
      const { method = 'GET' } = init;
      const body = new Uint8Array(await new Response(init.body ?? null).arrayBuffer());
      asked.push(`${method} ${name}`);
      return answer({ method, url: at, name, headers: new Headers(init.headers), body });
    },
  };
}

function bucket(objects: StandIn['objects'], now: () => string, page: number): (asked: Asked) => Promise<Response> {
  const failed = (status: number, code: string, more = ''): Response =>
    new Response(`<?xml version="1.0"?><Error><Code>${code}</Code>${more}</Error>`, { status });
  return async ({ method, url, name, headers, body }) => {
    const given = headers.get('authorization') ?? '';
    const user = [S3, WRITE_ONLY_S3].find(({ accessKeyId }) => given.includes(`Credential=${accessKeyId}/`));
    if (user === undefined) return failed(403, 'InvalidAccessKeyId');
    const time = headers.get('x-amz-date') ?? '';
    const at = Date.parse(time.replace(/^(....)(..)(..)T(..)(..)(..)Z$/, '$1-$2-$3T$4:$5:$6Z'));
    if (!(Math.abs(at - Date.parse(now())) <= MOST_APART))
      return failed(403, 'RequestTimeTooSkewed', `<ServerTime>${now()}</ServerTime>`);
    // A browser adds headers of its own; what was signed is named.
    const signed = (/SignedHeaders=([^,]*)/.exec(given)?.[1] ?? '').split(';');
    const plain = new Headers([...headers].filter(([header]) => signed.includes(header)));
    const { region, accessKeyId, secretAccessKey } = user;
    const credentials = { region, accessKeyId, secretAccessKey, service: 's3', datetime: time };
    const right = await new AwsV4Signer({ ...credentials, method, url: url.href, headers: plain }).sign();
    if (right.headers.get('authorization') !== given) return failed(403, 'SignatureDoesNotMatch');
    if (user === WRITE_ONLY_S3 && method !== 'PUT') return failed(403, 'AccessDenied');
    switch (method) {
      case 'PUT':
        if (headers.get('if-none-match') === '*' && objects.has(name)) return failed(412, 'PreconditionFailed');
        objects.set(name, body);
        return new Response(null, { status: 200 });
      case 'DELETE':
        objects.delete(name);
        return new Response(null, { status: 204 });
      default:
        return name === '' ? listed(url) : (found(objects, name) ?? failed(404, 'NoSuchKey'));
    }
  };

  function listed({ searchParams }: URL): Response {
    const prefix = searchParams.get('prefix') ?? '';
    const after = searchParams.get('continuation-token') ?? '';
    const names = [...objects.keys()].filter((name) => name.startsWith(prefix));
    const groups = names.map((name) => {
      const end = name.indexOf('/', prefix.length);
      return end < 0 ? name : name.slice(0, end + 1);
    });
    const all = [...new Set(groups)].sort().filter((name) => name > after);
    const some = all.slice(0, page);
    const entries = some.map((name) =>
      name.endsWith('/')
        ? `<CommonPrefixes><Prefix>${name}</Prefix></CommonPrefixes>`
        : `<Contents><Key>${name}</Key></Contents>`,
    );
    const more = all.length > some.length;
    const next = more ? `<NextContinuationToken>${some.at(-1) ?? ''}</NextContinuationToken>` : '';
    return new Response(
      `<ListBucketResult xmlns="http://s3.amazonaws.com/doc/2006-03-01/"><IsTruncated>${more}</IsTruncated>${next}${entries.join('')}</ListBucketResult>`,
    );
  }
}

function folder(objects: StandIn['objects']): (asked: Asked) => Promise<Response> {
  const folders = new Set(['']);
  const parentOf = (name: string): string => name.split('/').slice(0, -1).join('/');
  return ({ method, name: named, headers, body }) => {
    const name = named.replace(/\/$/, '');
    const given = headers.get('authorization') ?? '';
    const user = [WEBDAV, WRITE_ONLY_WEBDAV].find(
      (each) => given === `Basic ${Buffer.from(`${each.user}:${each.password}`).toString('base64')}`,
    );
    const status = (code: number): Promise<Response> => Promise.resolve(new Response(null, { status: code }));
    if (user === undefined) return status(401);
    if (user === WRITE_ONLY_WEBDAV && !['PUT', 'MKCOL'].includes(method)) return status(403);
    switch (method) {
      case 'MKCOL':
        if (folders.has(name)) return status(405);
        if (!folders.has(parentOf(name))) return status(409);
        folders.add(name);
        return status(201);
      case 'PUT': {
        if (headers.get('if-none-match') === '*' && objects.has(name)) return status(412);
        if (!folders.has(parentOf(name))) return status(409);
        const was = objects.has(name);
        objects.set(name, body);
        return status(was ? 204 : 201);
      }
      case 'DELETE':
        return status(objects.delete(name) ? 204 : 404);
      case 'PROPFIND': {
        if (!folders.has(name)) return status(404);
        const files = [...objects.keys()].filter((each) => parentOf(each) === name);
        const inner = [...folders].filter((each) => each !== '' && parentOf(each) === name);
        const entry = (path: string, type: string): string =>
          `<D:response><D:href>/checks/${path}</D:href><D:propstat><D:prop><lp1:resourcetype>${type}</lp1:resourcetype></D:prop></D:propstat></D:response>`;
        const own = name === '' ? '' : `${name}/`;
        const entries = [own, ...inner.map((each) => `${each}/`)].map((path) => entry(path, '<D:collection/>'));
        const text = [...entries, ...files.map((path) => entry(path, ''))].join('');
        const xml = `<?xml version="1.0"?><D:multistatus xmlns:D="DAV:" xmlns:lp1="DAV:">${text}</D:multistatus>`;
        return Promise.resolve(new Response(xml, { status: 207 }));
      }
      default:
        return Promise.resolve(found(objects, name) ?? new Response(null, { status: 404 }));
    }
  };
}

function found(objects: StandIn['objects'], name: string): Response | undefined {
  const bytes = objects.get(name);
  return bytes === undefined ? undefined : new Response(bytes.slice());
}
