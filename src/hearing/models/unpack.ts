import { unzipSync } from 'fflate';
import { createTarDecoder } from 'modern-tar';
import { bad, good } from '../../units/outcome.ts';
import type { Outcome } from '../../units/outcome.ts';
import { megabytes } from './megabytes.ts';

/** A plain tar is what is left of a tar.gz after a server declared its compression as transport encoding. */
export type ArchiveFormat = 'tar.gz' | 'tar' | 'zip';

export interface Unpacked {
  readonly format: ArchiveFormat;
  /** Paths of the files (not folders), as written in the archive, with their sizes in bytes. */
  readonly files: ReadonlyMap<string, number>;
  /** The bytes of the wanted files. */
  readonly contents: ReadonlyMap<string, Uint8Array>;
}

/** Larger archives exceed what a browser's worker can hold next to their unpacked form: 300 MiB. */
const MAX_ARCHIVE_BYTES = 300 * 2 ** 20;
/** Limit of the unpacked size, 1 GiB: also the guard against archives made to unpack without end. */
const MAX_UNPACKED_BYTES = 2 ** 30;
/** Limits against archives that are made to exhaust the reader. Models shrink to a half at best, their word lists to a tenth. */
const MAX_RATIO = 20;
const RATIO_FROM = 16 * 2 ** 20;
/** Of one file that is read: the largest graph with the words in it that a browser can run, in bytes. */
const MAX_READ_BYTES = 128 * 2 ** 20;

/** Why an archive is not read to its end. */
type Refused = 'too large' | 'swollen';

function refusal(total: number, largest: number, packed: number): Refused | undefined {
  if (total > RATIO_FROM && total > packed * MAX_RATIO) return 'swollen';
  return total > MAX_UNPACKED_BYTES || largest > MAX_READ_BYTES ? 'too large' : undefined;
}

const MAGIC_BYTES = 512;

/**
 * Lists an archive and reads the files that `wanted` names. `where` is its name, for the message when it is cut short, too
 * large, or no archive at all.
 */
export async function unpack(
  archive: Blob,
  where: string,
  wanted: (path: string) => boolean,
): Promise<Outcome<Unpacked>> {
  const size = checkSize(archive.size, where);
  if (!size.ok) return size;
  const head = new Uint8Array(await archive.slice(0, MAGIC_BYTES).arrayBuffer());
  const format = formatOf(head);
  if (format === undefined) return notAnArchive(head, where);
  try {
    const unpacked = format === 'zip' ? await readZip(archive, wanted) : await readTar(archive, format, wanted);
    if (typeof unpacked !== 'string') return good(unpacked);
    if (unpacked === 'swollen')
      return bad(
        `The archive unpacks to more than ${MAX_RATIO} times its size, as no model does.`,
        where,
        'Do not trust it.',
      );
    return bad(
      `The model unpacks to more than ${megabytes(MAX_UNPACKED_BYTES)}, too large for a browser.`,
      where,
      SMALLER,
    );
  } catch {
    // The readers say "unexpected end", "invalid zip data" and the like: all mean the same to the user.
    return bad('The archive is cut short or damaged.', where, 'Download it again.');
  }
}

function formatOf(head: Uint8Array): ArchiveFormat | undefined {
  if (head[0] === 0x1f && head[1] === 0x8b) return 'tar.gz';
  if (ascii(head, 0, 4) === 'PK\u0003\u0004') return 'zip';
  if (ascii(head, 257, 262) === 'ustar') return 'tar';
  return undefined;
}

function ascii(bytes: Uint8Array, from: number, to: number): string {
  return String.fromCharCode(...bytes.subarray(from, to));
}

function notAnArchive(head: Uint8Array, where: string): Outcome<never> {
  if (head.length === 0) return bad('The file is empty.', where, 'Download it again.');
  if (ascii(head, 0, head.length).trimStart().startsWith('<')) {
    return bad(
      'This is a web page, not a model archive.',
      where,
      'Use the address of the archive itself, not of the page that links to it.',
    );
  }
  return bad('This is neither a tar.gz nor a zip archive.', where, 'Choose the model as its publisher packs it.');
}

const SMALLER = 'Use a small model.';

/** A problem when an archive of this size could not run in a browser. */
export function checkSize(bytes: number, where: string): Outcome<void> {
  if (bytes <= MAX_ARCHIVE_BYTES) return good(undefined);
  return bad(
    `The model is too large for a browser: ${megabytes(bytes)}, where ${megabytes(MAX_ARCHIVE_BYTES)} is the limit.`,
    where,
    SMALLER,
  );
}

async function readTar(
  archive: Blob,
  format: 'tar' | 'tar.gz',
  wanted: (path: string) => boolean,
): Promise<Unpacked | Refused> {
  const stream = archive.stream();
  const tar = format === 'tar.gz' ? stream.pipeThrough(new DecompressionStream('gzip')) : stream;
  const files = new Map<string, number>();
  const contents = new Map<string, Uint8Array>();
  let total = 0;
  const decoder = createTarDecoder({ strict: true });
  let end: Refused | undefined;
  // What the headers announce is not all that an archive unpacks to.
  const counted = new TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>({
    transform(chunk, controller) {
      unpacked += chunk.length;
      end = refusal(unpacked, 0, archive.size);
      if (end !== undefined) throw new Error('the archive does not end');
      controller.enqueue(chunk);
    },
  });
  let unpacked = 0;
  const piped = tar.pipeThrough(counted).pipeTo(decoder.writable);
  const list = async (): Promise<Refused | undefined> => {
    const entries = decoder.readable.getReader();
    for (let next = await entries.read(); !next.done; next = await entries.read()) {
      const { header, body } = next.value;
      const isFile = header.type === undefined || header.type === 'file';
      total += header.size;
      const refused = refusal(total, isFile && wanted(header.name) ? header.size : 0, archive.size);
      if (refused !== undefined) {
        await entries.cancel();
        return refused;
      }
      if (isFile) files.set(header.name, header.size);
      if (isFile && wanted(header.name)) contents.set(header.name, await bytesOf(body));
      else await body.cancel();
    }
    return undefined;
  };
  const listed = list();
  // Where an archive ends too early, the decoder rejects its input but leaves the reader of the last file waiting.
  try {
    const refused = await Promise.race([listed, piped.then(() => listed)]);
    return refused ?? { format, files, contents };
  } catch (error) {
    // Read anew: the transform above has written it meanwhile.
    const refused = (() => end)();
    if (refused !== undefined) return refused;
    throw error;
  }
}

async function readZip(archive: Blob, wanted: (path: string) => boolean): Promise<Unpacked | Refused> {
  const files = new Map<string, number>();
  let total = 0;
  let refused: Refused | undefined;
  const bytes = new Uint8Array(await archive.arrayBuffer());
  const found = unzipSync(bytes, {
    filter: ({ name, originalSize }) => {
      if (name.endsWith('/')) return false;
      files.set(name, originalSize);
      total += originalSize;
      refused ??= refusal(total, wanted(name) ? originalSize : 0, archive.size);
      return refused === undefined && wanted(name);
    },
  });
  return refused ?? { format: 'zip', files, contents: new Map(Object.entries(found)) };
}

async function bytesOf(stream: ReadableStream<Uint8Array>): Promise<Uint8Array> {
  return new Uint8Array(await new Response(stream as ReadableStream<Uint8Array<ArrayBuffer>>).arrayBuffer());
}
