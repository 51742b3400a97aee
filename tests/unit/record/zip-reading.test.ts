import { strFromU8, strToU8, zipSync, type Zippable } from 'fflate';
import { describe, expect, it } from 'vitest';
import { bytesSource } from '../../../src/record/contents.ts';
import { zipBudget, zipEntries } from '../../../src/record/unzip.ts';
import { problemLine } from '../../../src/units/outcome.ts';

const breathe = (): Promise<void> => Promise.resolve();

/** Name and contents of each file in the zip, or the one line that refuses it or the file. */
async function read(zip: Uint8Array): Promise<Record<string, string> | string> {
  const source = bytesSource(zip.slice());
  const entries = await zipEntries(source, 'a.zip', zipBudget(source));
  if (!entries.ok) return problemLine(entries.problem);
  const found: Record<string, string> = {};
  for (const entry of entries.value) {
    const contents = await entry.bytes(breathe);
    if (!contents.ok) return problemLine(contents.problem);
    expect(contents.value).toHaveLength(entry.size);
    found[entry.name] = strFromU8(contents.value);
  }
  return found;
}

/** What `change` makes of the bytes of a zip; offsets of the directory and of its end are given (PKWARE APPNOTE, 4.3.12, 4.3.16). */
function changed(files: Zippable, change: (view: DataView, directory: number, end: number) => void): Uint8Array {
  const bytes = zipSync(files, { level: 9 });
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const end = bytes.length - 22;
  change(view, view.getUint32(end + 16, true), end);
  return bytes;
}

const ONE = { 'a.txt': strToU8('one') };
/** Text that does not shrink to a single piece of 16 kB. */
const LONG = Array.from({ length: 30_000 }, (_, n) => String((n * n) % 9973)).join(' ');

describe('a zip', () => {
  // PKWARE APPNOTE, 4.3.16: the end may carry a comment, of any length.
  it.each([1, 2, 301])('may end with a comment: %d bytes of it', async (length) => {
    const bytes = zipSync(ONE);
    const commented = new Uint8Array([...bytes, ...new Uint8Array(length).fill(0x2e)]);
    new DataView(commented.buffer).setUint16(bytes.length - 2, length, true);
    expect(await read(commented)).toEqual({ 'a.txt': 'one' });
  });

  it('may be empty: it is nothing but its end', async () => {
    expect(zipSync({})).toHaveLength(22);
    expect(await read(zipSync({}))).toEqual({});
  });

  it('gives its files whatever way they are packed, also in several pieces, and leaves folders out', async () => {
    const zip = zipSync({ 'b/': new Uint8Array(), 'b/c.txt': strToU8(LONG), 'a.txt': [strToU8('one'), { level: 0 }] });
    expect(await read(zip)).toEqual({ 'b/c.txt': LONG, 'a.txt': 'one' });
  });

  it('may have lines of any length in its directory, and a comment behind it', async () => {
    const extra = { extra: { 0x5455: new Uint8Array(9) }, comment: 'of the cab' };
    const zip = zipSync({ 'a.txt': [strToU8('one'), extra], 'b.txt': strToU8('two') });
    const comment = new Uint8Array(300).fill(0x50);
    const long = new Uint8Array([...zip, ...comment]);
    new DataView(long.buffer).setUint16(zip.length - 2, comment.length, true);
    expect(await read(long)).toEqual({ 'a.txt': 'one', 'b.txt': 'two' });
  });

  it('that is not there at all is told so', async () => {
    const cut = 'a.zip: The zip is cut short, or is not a zip. Export or copy the file again.';
    expect(await read(new Uint8Array())).toBe(cut);
    expect(await read(strToU8('not a zip at all, but long enough to be one'))).toBe(cut);
    // A directory that reaches into the end, or claims more files than it has, or less room than their lines need.
    expect(await read(changed(ONE, (view, at, end) => view.setUint32(end + 12, end - at + 1, true)))).toBe(cut);
    expect(await read(changed(ONE, (view, _, end) => view.setUint16(end + 10, 2, true)))).toBe(cut);
    expect(await read(changed(ONE, (view, at) => view.setUint16(at + 28, 6000, true)))).toBe(cut);
    expect(await read(changed(ONE, (view, at) => view.setUint32(at, 0, true)))).toBe(cut);
  });

  it('of more than 4 GB or 65,534 files is told so', async () => {
    const parts = 'a.zip: The zip is larger than 4 GB, or has more than 65,534 files in it. Export it in parts.';
    expect(await read(changed(ONE, (view, _, end) => view.setUint32(end + 16, 0xffffffff, true)))).toBe(parts);
    expect(await read(changed(ONE, (view, _, end) => view.setUint16(end + 10, 0xffff, true)))).toBe(parts);
  });

  it('with two files of one name, in any case, is not trusted', async () => {
    expect(await read(zipSync({ 'a.txt': strToU8('x'), 'A.TXT': strToU8('y') }))).toBe(
      'a.zip, A.TXT: The zip has two files of one name. Do not trust it.',
    );
  });

  it.each(['./a.txt', 'b/.', 'b/..', 'b\\c', 'c:a', 'a\0b'])('with the name %j is not trusted', async (name) => {
    expect(await read(zipSync({ [name]: strToU8('x') }))).toMatch(/leads out of its folder.*Do not trust this file/);
  });

  it.each(['..a.txt', 'b/...txt', 'b.c/d', 'ab:c'])('with the name %j is as good as any', async (name) => {
    expect(await read(zipSync({ [name]: strToU8('x') }))).toEqual({ [name]: 'x' });
  });

  it('whose file is damaged, locked, packed in another way or has two names says which', async () => {
    const damaged = (name: string) => `a.zip, ${name}: A file in the zip is damaged. Export or copy the file again.`;
    const stored: Zippable = { 'a.txt': [strToU8('one'), { level: 0 }] };
    expect(await read(changed(ONE, (view, at) => view.setUint16(at + 8, 1, true)))).toMatch(/"a\.txt": .*password/);
    expect(await read(changed(ONE, (view, at) => view.setUint16(at + 10, 12, true)))).toMatch(/packed in a way/);
    expect(await read(changed(stored, (view, at) => view.setUint32(at + 24, 2, true)))).toBe(damaged('"a.txt"'));
    expect(await read(changed(ONE, (view) => view.setUint32(0, 0, true)))).toBe(damaged('a.txt'));
    expect(await read(changed(ONE, (view, at) => view.setUint32(at + 42, 0x7fffffff, true)))).toBe(damaged('a.txt'));
    expect(await read(changed(ONE, (view) => view.setUint8(30, 0x62)))).toBe(
      'a.zip, a.txt: A file in the zip has two names. Do not trust this file.',
    );
  });

  it('whose file is shorter or longer than its directory says is damaged', async () => {
    for (const size of [2, 4])
      expect(await read(changed(ONE, (view, at) => view.setUint32(at + 24, size, true)))).toMatch(/damaged/);
  });

  it('may hold a file of 4 MB that shrinks a thousandfold, silence for one, and no larger', async () => {
    const claiming = (size: number) => changed(ONE, (view, at) => view.setUint32(at + 24, size, true));
    expect(await read(claiming(4 * 2 ** 20))).toMatch(/damaged/);
    expect(await read(claiming(4 * 2 ** 20 + 1))).toBe(
      'a.zip, "a.txt": A file in the zip unpacks to more than 200 times its size. Do not trust this file.',
    );
  });
});
