import { bad, good } from '../../units/outcome.ts';
import type { Outcome } from '../../units/outcome.ts';
import { megabytes } from './megabytes.ts';
import { pieceKey, readDownloads, removeAll, writeDownload } from './records.ts';
import type { UnfinishedDownload } from './records.ts';
import { isFull } from './shelf.ts';
import type { Shelf } from './shelf.ts';
import { checkSize } from './unpack.ts';

/** The outside world of a download. */
export interface DownloadHost {
  readonly fetch: typeof globalThis.fetch;
  /** Bytes that may still be stored, where the platform tells. */
  freeSpace(): Promise<number | undefined>;
  /** A name that was never used before. */
  newId(): string;
}

export interface DownloadWatch {
  /** Stops the download; what has come so far is kept for resuming. */
  readonly signal?: AbortSignal;
  /** Bytes so far, and in all when the server says. Default: nothing. */
  readonly onProgress?: (received: number, total: number | undefined) => void;
}

/** Stored this often, so that a killed page loses at most 4 MiB. */
const PIECE_BYTES = 4 * 2 ** 20;
/** Room wanted beyond the download itself. */
const SPARE = 1.05;

/**
 * Fetches an archive onto the shelf, taking up an unfinished download of the same address where the server allows. On success
 * its pieces are on the shelf and still marked unfinished: the caller checks them and then keeps or removes them.
 */
export async function download(
  shelf: Shelf,
  request: { readonly url: string; readonly sha256?: string },
  host: DownloadHost,
  watch: DownloadWatch,
): Promise<Outcome<UnfinishedDownload>> {
  const known = (await readDownloads(shelf)).find(({ url }) => url === request.url);
  const { url } = request;
  try {
    const opened = await open(known, url, host, watch.signal);
    if (!opened.ok) return opened;
    const { response, resumed } = opened.value;
    if (known !== undefined && !resumed) await removeAll(shelf, known.id);
    const start: UnfinishedDownload =
      resumed && known !== undefined
        ? known
        : { ...request, id: host.newId(), ...validatorOf(response), ...totalOf(response), received: 0, pieces: [] };
    const room = await roomFor(start, url, host);
    if (!room.ok) {
      await response.body?.cancel();
      if (start.received === 0) await removeAll(shelf, start.id);
      return room;
    }
    return await receive(shelf, start, response, watch);
  } catch (error) {
    if (watch.signal?.aborted === true) return stopped(known, url);
    if (error instanceof TypeError) {
      return bad(
        'The server cannot be reached, or does not let pages download from it.',
        url,
        'Check the connection; or download the file with the browser and choose it here.',
      );
    }
    throw error;
  }
}

interface Opened {
  readonly response: Response;
  readonly resumed: boolean;
}

async function open(
  known: UnfinishedDownload | undefined,
  url: string,
  host: DownloadHost,
  signal: AbortSignal | undefined,
): Promise<Outcome<Opened>> {
  const init = signal === undefined ? {} : { signal };
  if (known?.validator !== undefined && known.received > 0) {
    // No If-Range: servers of other origins would have to allow it first. The answer is compared instead.
    const response = await host.fetch(url, { ...init, headers: { range: `bytes=${known.received}-` } });
    if (continues(response, known)) return good({ response, resumed: true });
    await response.body?.cancel();
  }
  const response = await host.fetch(url, init);
  const problem = problemOf(response, url);
  if (problem === undefined) return good({ response, resumed: false });
  await response.body?.cancel();
  return problem;
}

/** True when a partial answer goes on where the known part ended, in the same file. */
function continues(response: Response, known: UnfinishedDownload): boolean {
  if (response.status !== 206 || validatorOf(response).validator !== known.validator) return false;
  // Servers of other origins seldom let a page read Content-Range; the length then has to fit.
  const range = response.headers.get('content-range');
  if (range !== null) return range.startsWith(`bytes ${known.received}-`);
  const length = response.headers.get('content-length');
  return length !== null && known.total === known.received + Number(length);
}

function problemOf(response: Response, url: string): ReturnType<typeof bad> | undefined {
  if (response.status === 404 || response.status === 410) {
    return bad(`The server has no file at this address (${response.status}).`, url, 'Check the address.');
  }
  if (!response.ok)
    return bad(
      `The server refused the download (${response.status}).`,
      url,
      'Try again later, or use another address.',
    );
  if (response.headers.get('content-type')?.startsWith('text/html') === true) {
    return bad('The server sent a web page instead of a model.', url, 'Use the address of the archive itself.');
  }
  return undefined;
}

function validatorOf(response: Response): { readonly validator?: string } {
  // A body that the browser has decompressed on the way cannot be continued by its position.
  if (response.headers.has('content-encoding')) return {};
  const validator = response.headers.get('last-modified') ?? response.headers.get('etag');
  return validator === null ? {} : { validator };
}

function totalOf(response: Response): { readonly total?: number } {
  const length = response.headers.get('content-length');
  return length === null || response.headers.has('content-encoding') ? {} : { total: Number(length) };
}

async function roomFor(start: UnfinishedDownload, url: string, host: DownloadHost): Promise<Outcome<void>> {
  if (start.total === undefined) return good(undefined);
  const size = checkSize(start.total, url);
  if (!size.ok) return size;
  const free = await host.freeSpace();
  const needed = (start.total - start.received) * SPARE;
  if (free === undefined || free >= needed) return good(undefined);
  return bad(
    `There is not enough room: ${megabytes(needed)} needed, ${megabytes(free)} free.`,
    url,
    'Free some space, then try again.',
  );
}

async function receive(
  shelf: Shelf,
  start: UnfinishedDownload,
  response: Response,
  watch: DownloadWatch,
): Promise<Outcome<UnfinishedDownload>> {
  let part = start;
  let pending: Uint8Array<ArrayBuffer>[] = [];
  let pendingBytes = 0;
  const flush = async (): Promise<void> => {
    if (pendingBytes === 0) return;
    const key = pieceKey(part.id, part.pieces.length);
    const grown = { ...part, received: part.received + pendingBytes, pieces: [...part.pieces, key] };
    await shelf.put(key, new Blob(pending));
    await writeDownload(shelf, grown);
    part = grown;
    pending = [];
    pendingBytes = 0;
  };
  const { url, total } = start;
  try {
    await writeDownload(shelf, part);
    const broken = await drain(response, async (chunk) => {
      pending.push(chunk);
      pendingBytes += chunk.length;
      const received = part.received + pendingBytes;
      watch.onProgress?.(received, total);
      if (pendingBytes >= PIECE_BYTES) await flush();
      return checkSize(received, url).ok;
    });
    await flush();
    const size = checkSize(part.received, url);
    if (!size.ok) {
      await removeAll(shelf, part.id);
      return size;
    }
    if (!broken && (total === undefined || total === part.received)) return good(part);
    if (part.validator === undefined || part.received > (total ?? Number.POSITIVE_INFINITY))
      await removeAll(shelf, part.id);
    return watch.signal?.aborted === true ? stopped(part, url) : cutShort(part, url);
  } catch (error) {
    await removeAll(shelf, part.id);
    if (!isFull(error)) throw error;
    return bad('The disk is full: the download was removed.', url, 'Free some space, then try again.');
  }
}

/** Reads a body to its end; true when the connection broke (or was aborted) before it. `take` returns false to stop. */
async function drain(response: Response, take: (chunk: Uint8Array<ArrayBuffer>) => Promise<boolean>): Promise<boolean> {
  const reader = response.body?.getReader();
  if (reader === undefined) return true;
  for (;;) {
    const next = await reader.read().catch(() => undefined);
    if (next === undefined) return true;
    if (next.done) return false;
    if (!(await take(next.value))) {
      await reader.cancel();
      return false;
    }
  }
}

function stopped(part: UnfinishedDownload | undefined, url: string): ReturnType<typeof bad> {
  return bad(`The download was stopped after ${amount(part)}.`, url, again(part));
}

function cutShort(part: UnfinishedDownload, url: string): ReturnType<typeof bad> {
  return bad(`The connection ended after ${amount(part)}.`, url, again(part));
}

function again(part: UnfinishedDownload | undefined): string {
  return part?.validator === undefined ? 'Start it again.' : 'Start it again to resume.';
}

function amount(part: UnfinishedDownload | undefined): string {
  const received = megabytes(part?.received ?? 0);
  return part?.total === undefined ? received : `${received} of ${megabytes(part.total)}`;
}
