import { hidden, refusal, unreachable } from './answers.ts';
import type { GetAnswer, PutAnswer, Refused } from './place.ts';
import { textOf, type XmlReader } from './xml.ts';

/** What a place over HTTP needs of its host. */
export interface Web {
  readonly fetch: (url: string, init: RequestInit) => Promise<Response>;
  readonly xml: XmlReader;
  /** ISO 8601. */
  readonly wall: () => string;
  /** Stops what is under way; what waits for it then rejects. */
  readonly signal?: AbortSignal;
  /** Of a page: whether anything answers at an address, though it does not let the page see what. */
  readonly answers?: (url: string) => Promise<boolean>;
}

/** Bytes that a line carries in a second at least: slower, and the request is given up and tried again. */
const SLOWEST = 500;
/** Ms that any request may take. */
const PATIENCE = 60_000;
/** An answer without an object is never longer, but for a list. */
const MAX_ERROR = 64 * 2 ** 10;

export interface Asking {
  readonly method: string;
  readonly url: string;
  readonly headers: HeadersInit;
  readonly body?: Uint8Array<ArrayBuffer> | string;
}

/** Sends a request and gives the answer, or why there is none. Nothing is sent but what is asked: no cookie, no referrer, no cache. */
export async function ask(
  web: Web,
  { url, method, headers, body }: Asking,
  where: string,
): Promise<Response | Refused> {
  const limit = AbortSignal.timeout(PATIENCE + ((body?.length ?? 0) / SLOWEST) * 1000);
  const signal = web.signal === undefined ? limit : AbortSignal.any([limit, web.signal]);
  try {
    return await web.fetch(url, {
      ...{
        method,
        headers,
        signal,
        redirect: 'manual',
        credentials: 'omit',
        cache: 'no-store',
        referrerPolicy: 'no-referrer',
      },
      ...(body === undefined ? {} : { body }),
    });
  } catch {
    web.signal?.throwIfAborted();
    return (await web.answers?.(url)) === true ? hidden(where) : unreachable(where);
  }
}

/** What the answer to something that was put means. */
export async function putAnswer(web: Web, response: Response, where: string): Promise<PutAnswer> {
  if (response.status === 412) return { kind: 'there' };
  return response.ok ? { kind: 'put' } : refusedBy(web, response, where);
}

/** The bytes of an answer. */
export async function getAnswer(web: Web, response: Response, where: string, most: number): Promise<GetAnswer> {
  if (response.status === 404) {
    const code = await codeOf(web, response);
    return code.code === 'NoSuchBucket' ? refusal({ status: 404, ...code }, where, web.wall()) : { kind: 'none' };
  }
  if (!response.ok) return refusedBy(web, response, where);
  const bytes = await bytesOf(web, response, most);
  if (bytes === 'large')
    return { kind: 'refused', why: 'object', problem: { what: 'The object is larger than any of ours.', where } };
  return bytes === undefined ? unreachable(where) : { kind: 'got', bytes };
}

/** What an answer that is no success means. */
export async function refusedBy(web: Web, response: Response, where: string): Promise<Refused> {
  const said = await codeOf(web, response);
  // Scripts of a page do not see the date unless the store lets them.
  const date = Date.parse(response.headers.get('date') ?? '');
  const theirs = said.theirs ?? (Number.isNaN(date) ? undefined : new Date(date).toISOString());
  const { status } = response;
  return refusal(
    {
      status,
      code: said.code,
      retryAfter: response.headers.get('retry-after'),
      ...(theirs === undefined ? {} : { theirs }),
    },
    where,
    web.wall(),
  );
}

async function codeOf(web: Web, response: Response): Promise<{ code: string; theirs?: string }> {
  const bytes = await bytesOf(web, response, MAX_ERROR);
  if (bytes === undefined || bytes === 'large') return { code: '' };
  const text = new TextDecoder().decode(bytes);
  const xml = text.trimStart().startsWith('<') ? web.xml(text) : undefined;
  if (xml === undefined) return { code: '' };
  const theirs = Date.parse(textOf(xml, 'ServerTime') ?? '');
  return {
    code: textOf(xml, 'Code') ?? '',
    ...(Number.isNaN(theirs) ? {} : { theirs: new Date(theirs).toISOString() }),
  };
}

/** Undefined when the line broke in the middle. Never more than `most` bytes are taken into memory. */
export async function bytesOf(
  web: Web,
  response: Response,
  most: number,
): Promise<Uint8Array<ArrayBuffer> | 'large' | undefined> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  let size = 0;
  try {
    const reader = response.body?.getReader();
    for (let part = await reader?.read(); part?.value !== undefined; part = await reader?.read()) {
      size += part.value.length;
      if (size > most) {
        await reader?.cancel();
        return 'large';
      }
      parts.push(new Uint8Array(part.value));
    }
  } catch {
    web.signal?.throwIfAborted();
    return undefined;
  }
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}
