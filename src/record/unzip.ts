import { Inflate } from 'fflate';
import { bad, good, type Outcome } from '../units/outcome.ts';

/** Far beyond any export of checks: what is beyond these is made to exhaust the reader. Sizes in bytes, unpacked. */
const ZIP_LIMITS = {
  entries: 10_000,
  entryBytes: 64 * 2 ** 20,
  totalBytes: 2 * 2 ** 30,
  /** Unpacked to packed, of entries above `ratioFrom`: a log shrinks to a fifteenth, silence to a thousandth. */
  ratio: 200,
  ratioFrom: 4 * 2 ** 20,
} as const;

/** A file in a zip, not unpacked yet. */
export interface ZipEntry {
  readonly name: string;
  readonly size: number;
  /** Unpacks it, in pieces between which `breathe` is awaited. */
  bytes(breathe: () => Promise<void>): Promise<Outcome<Uint8Array<ArrayBuffer>>>;
}

/** What may still be unpacked, over a zip and the zips in it. */
export interface ZipBudget {
  entries: number;
  bytes: number;
}

export function zipBudget(): ZipBudget {
  return { entries: ZIP_LIMITS.entries, bytes: ZIP_LIMITS.totalBytes };
}

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
const END_BYTES = 22;
const MAX_COMMENT = 0xffff;
const REPAIR = 'Export or copy the file again.';
/** Packed bytes that are unpacked in one go: at most 16 MB of output. */
const PIECE = 16 * 1024;

/**
 * The files of a zip (PKWARE APPNOTE 6.3.10, without zip64, encryption and parts), by its directory; folders are left out.
 * Refused before anything is unpacked: too many entries, sizes and ratios beyond `ZIP_LIMITS`, names that climb out of the folder.
 */
export async function zipEntries(zip: Blob, where: string, budget: ZipBudget): Promise<Outcome<ZipEntry[]>> {
  const cut = bad('The zip is cut short, or is not a zip.', where, REPAIR);
  const tailStart = Math.max(0, zip.size - END_BYTES - MAX_COMMENT);
  const tail = await viewOf(zip.slice(tailStart));
  const at = lastEnd(tail);
  if (at === undefined) return cut;
  const count = tail.getUint16(at + 10, true);
  const size = tail.getUint32(at + 12, true);
  const start = tail.getUint32(at + 16, true);
  if (count > budget.entries)
    return bad(`The zip has more than ${ZIP_LIMITS.entries} files in it.`, where, 'Import it in parts.');
  if (start + size > tailStart + at) return cut;
  budget.entries -= count;
  const directory = await viewOf(zip.slice(start, start + size));
  const entries: ZipEntry[] = [];
  let packedBytes = 0;
  let offset = 0;
  for (let nth = 0; nth < count; nth += 1) {
    if (offset + 46 > size || directory.getUint32(offset, true) !== CENTRAL) return cut;
    const entry = readEntry(directory, offset);
    offset += entry.bytes;
    if (offset > size) return cut;
    const problem = refusal(entry, where);
    if (problem !== undefined) return problem;
    packedBytes += entry.packed;
    budget.bytes -= entry.size;
    // Entries that share their bytes are how a small zip holds a huge one.
    if (packedBytes > zip.size) return bad('Files in the zip lie over each other.', where, REPAIR);
    if (budget.bytes < 0) return bad('The zip unpacks to more than 2 GB.', where, 'Import it in parts.');
    if (entry.name.endsWith('/')) continue;
    entries.push({
      name: entry.name,
      size: entry.size,
      bytes: (breathe) => unpack(zip, entry, `${where}, ${entry.name}`, breathe),
    });
  }
  return good(entries);
}

interface Listed {
  readonly name: string;
  readonly flags: number;
  readonly method: number;
  readonly packed: number;
  readonly size: number;
  readonly local: number;
  /** Of its line in the directory. */
  readonly bytes: number;
}

function readEntry(view: DataView, at: number): Listed {
  const nameBytes = view.getUint16(at + 28, true);
  const name = new Uint8Array(view.buffer, view.byteOffset + at + 46, Math.min(nameBytes, view.byteLength - at - 46));
  return {
    name: new TextDecoder().decode(name),
    flags: view.getUint16(at + 8, true),
    method: view.getUint16(at + 10, true),
    packed: view.getUint32(at + 20, true),
    size: view.getUint32(at + 24, true),
    local: view.getUint32(at + 42, true),
    bytes: 46 + nameBytes + view.getUint16(at + 30, true) + view.getUint16(at + 32, true),
  };
}

function refusal({ name, flags, method, packed, size }: Listed, where: string): ReturnType<typeof bad> | undefined {
  const place = `${where}, ${JSON.stringify(name.slice(0, 80))}`;
  if (climbsOut(name))
    return bad('A file in the zip has a name that leads out of its folder.', place, 'Do not trust this file.');
  if ((flags & 1) !== 0) return bad('A file in the zip is locked with a password.', place, 'Export it without one.');
  if (method !== 0 && method !== 8)
    return bad('A file in the zip is packed in a way that is not read here.', place, REPAIR);
  if (size > ZIP_LIMITS.entryBytes)
    return bad('A file in the zip unpacks to more than 64 MB.', place, 'Do not trust this file.');
  if (size > ZIP_LIMITS.ratioFrom && size > packed * ZIP_LIMITS.ratio) {
    return bad(
      `A file in the zip unpacks to more than ${ZIP_LIMITS.ratio} times its size.`,
      place,
      'Do not trust this file.',
    );
  }
  return undefined;
}

function climbsOut(name: string): boolean {
  return /^[/\\]|^[a-z]:|\\|\0/i.test(name) || name.split('/').includes('..');
}

async function unpack(
  zip: Blob,
  { method, packed, size, local }: Listed,
  where: string,
  breathe: () => Promise<void>,
): Promise<Outcome<Uint8Array<ArrayBuffer>>> {
  const broken = bad('A file in the zip is damaged.', where, REPAIR);
  const header = await viewOf(zip.slice(local, local + 30));
  if (header.byteLength < 30 || header.getUint32(0, true) !== LOCAL) return broken;
  const start = local + 30 + header.getUint16(26, true) + header.getUint16(28, true);
  const body = zip.slice(start, start + packed);
  if (method === 0) {
    const bytes = new Uint8Array(await body.arrayBuffer());
    return bytes.length === size ? good(bytes) : broken;
  }
  const bytes = new Uint8Array(size);
  const progress = { filled: 0, ended: false };
  const inflate = new Inflate((chunk, final) => {
    // More than the directory says is not kept; the count shows it.
    if (progress.filled + chunk.length <= size) bytes.set(chunk, progress.filled);
    progress.filled += chunk.length;
    progress.ended ||= final;
  });
  for (let at = 0; at < packed && progress.filled <= size; at += PIECE) {
    await breathe();
    const piece = new Uint8Array(await body.slice(at, at + PIECE).arrayBuffer());
    try {
      inflate.push(piece, at + PIECE >= packed);
    } catch {
      return broken;
    }
  }
  return progress.ended && progress.filled === size ? good(bytes) : broken;
}

async function viewOf(part: Blob): Promise<DataView> {
  return new DataView(await part.arrayBuffer());
}

function lastEnd(tail: DataView): number | undefined {
  for (let at = tail.byteLength - END_BYTES; at >= 0; at -= 1) {
    if (tail.getUint32(at, true) === END) return at;
  }
  return undefined;
}
