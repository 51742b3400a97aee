import { readFile, stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { checkSize } from '../../hearing/models/unpack.ts';
import { bad, good } from '../../units/outcome.ts';
import type { Outcome } from '../../units/outcome.ts';

/** A model archive from the disk; one that is too large is refused before it is read. */
export async function readArchive(path: string): Promise<Outcome<Blob>> {
  const facts = await stat(path).catch(() => undefined);
  if (facts === undefined) return bad('There is no such file.', path, 'Check the path.');
  if (facts.isDirectory()) {
    return bad('This is a folder, not a model archive.', path, `Pack it first: tar czf model.tar.gz ${basename(path)}`);
  }
  if (!facts.isFile()) return bad('This is a pipe or a device, not a file.', path, 'Write it to a file first.');
  const size = checkSize(facts.size, path);
  return size.ok ? good(new Blob([await readFile(path)])) : size;
}
