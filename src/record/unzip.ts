import { Inflate } from 'fflate';
import { bad, good, type Outcome } from '../units/outcome.ts';
import { bytesSource, type Source } from './contents.ts';

/**
 * Far beyond any export of checks: what is beyond these is made to exhaust the reader. Sizes in bytes, unpacked. A file that is
 * packed as it is has no limit of its own: it is read in place.
 */
const ZIP_LIMITS = {
  entryBytes: 64 * 2 ** 20,
  /** Unpacked to packed, of entries above `ratioFrom`: a log shrinks to a fifteenth, silence to a thousandth. */
  ratio: 200,
  ratioFrom: 4 * 2 ** 20,
  /** Of everything in a zip, and in the zips in it, to the zip. */
  totalRatio: 40,
} as const;

/** A file in a zip, not unpacked yet. */
export interface ZipEntry {
  readonly name: string;
  readonly size: number;
  /** Unpacks it, in pieces between which `breathe` is awaited. */
  bytes(breathe: () => Promise<void>): Promise<Outcome<Uint8Array<ArrayBuffer>>>;
  /** The file as a source to read from; one that is packed as it is stays where it is. */
  source(breathe: () => Promise<void>): Promise<Outcome<Source>>;
}

/** What may still be unpacked, over a zip and the zips in it. */
export interface ZipBudget {
  bytes: number;
}

export function zipBudget({ size }: Source): ZipBudget {
  return { bytes: ZIP_LIMITS.entryBytes + size * ZIP_LIMITS.totalRatio };
}

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
const END_BYTES = 22;
const MAX_COMMENT = 0xffff;
const FOUR_GIGABYTES = 0xffff_ffff;
const MOST_FILES = 0xffff;
const STORED = 0;
/** A zip in a zip that is read at once, in bytes: one of a check without sounds. */
const IN_MEMORY = 2 ** 20;
const REPAIR = 'Export or copy the file again.';
/** Packed bytes that are unpacked in one go: at most 16 MB of output. */
const PIECE = 16 * 1024;

/**
 * The files of a zip (PKWARE APPNOTE 6.3.10, without zip64, encryption and parts), by its directory; folders are left out.
 * Refused before anything is unpacked: sizes and ratios beyond `ZIP_LIMITS`, names that climb out of the folder or come twice.
 */
export async function zipEntries(zip: Source, where: string, budget: ZipBudget): Promise<Outcome<ZipEntry[]>> {
  const cut = bad('The zip is cut short, or is not a zip.', where, REPAIR);
  const tailStart = Math.max(0, zip.size - END_BYTES - MAX_COMMENT);
  const tail = await viewOf(zip.slice(tailStart));
  const at = lastEnd(tail);
  if (at === undefined) return cut;
  const count = tail.getUint16(at + 10, true);
  const size = tail.getUint32(at + 12, true);
  const start = tail.getUint32(at + 16, true);
  if (start === FOUR_GIGABYTES || count === MOST_FILES)
    return bad('The zip is larger than 4 GB, or has more than 65,534 files in it.', where, 'Export it in parts.');
  if (start + size > tailStart + at) return cut;
  const directory = await viewOf(zip.slice(start, start + size));
  const entries: ZipEntry[] = [];
  const names = new Set<string>();
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
    if (budget.bytes < 0)
      return bad(
        `The zip unpacks to more than ${ZIP_LIMITS.totalRatio} times its size.`,
        where,
        'Do not trust this file.',
      );
    // Programs differ in which of two they show; some file systems take names of either case for one.
    const folded = entry.name.toLowerCase();
    if (names.has(folded))
      return bad('The zip has two files of one name.', `${where}, ${entry.name}`, 'Do not trust it.');
    names.add(folded);
    if (entry.name.endsWith('/')) continue;
    const place = `${where}, ${entry.name}`;
    entries.push({
      name: entry.name,
      size: entry.size,
      bytes: (breathe) => unpack(zip, entry, place, breathe),
      async source(breathe) {
        if (entry.method === STORED && entry.size > IN_MEMORY) return packedPart(zip, entry, place);
        const bytes = await unpack(zip, entry, place, breathe);
        return bytes.ok ? good(bytesSource(bytes.value)) : bytes;
      },
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
  if (method === STORED && size !== packed) return bad('A file in the zip is damaged.', place, REPAIR);
  if (size > ZIP_LIMITS.entryBytes && method !== STORED)
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
  return /^[/\\]|^[a-z]:|\\|\0/i.test(name) || /(^|\/)\.\.?(\/|$)/.test(name);
}

/** The packed bytes of a file, found by the header before them, which has to name the same file as the directory. */
async function packedPart(zip: Source, { name, packed, local }: Listed, where: string): Promise<Outcome<Source>> {
  const broken = bad('A file in the zip is damaged.', where, REPAIR);
  const header = await viewOf(zip.slice(local, local + 30));
  if (header.byteLength < 30 || header.getUint32(0, true) !== LOCAL) return broken;
  const names = local + 30 + header.getUint16(26, true);
  const start = names + header.getUint16(28, true);
  if (new TextDecoder().decode(await zip.slice(local + 30, names).arrayBuffer()) !== name)
    return bad('A file in the zip has two names.', where, 'Do not trust this file.');
  return start + packed > zip.size ? broken : good(zip.slice(start, start + packed));
}

async function unpack(
  zip: Source,
  entry: Listed,
  where: string,
  breathe: () => Promise<void>,
): Promise<Outcome<Uint8Array<ArrayBuffer>>> {
  const { method, packed, size } = entry;
  const broken = bad('A file in the zip is damaged.', where, REPAIR);
  if (size > ZIP_LIMITS.entryBytes)
    return bad('A file in the zip unpacks to more than 64 MB.', where, 'Do not trust this file.');
  const body = await packedPart(zip, entry, where);
  if (!body.ok) return body;
  if (method === STORED) return good(new Uint8Array(await body.value.arrayBuffer()));
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
    const piece = new Uint8Array(await body.value.slice(at, at + PIECE).arrayBuffer());
    try {
      inflate.push(piece, at + PIECE >= packed);
    } catch {
      return broken;
    }
  }
  return progress.ended && progress.filled === size ? good(bytes) : broken;
}

async function viewOf(part: Source): Promise<DataView> {
  return new DataView(await part.arrayBuffer());
}

function lastEnd(tail: DataView): number | undefined {
  for (let at = tail.byteLength - END_BYTES; at >= 0; at -= 1) {
    if (tail.getUint32(at, true) === END) return at;
  }
  return undefined;
}
