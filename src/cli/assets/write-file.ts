import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';

/** Writes a file unless it already holds these bytes; true when it was written. */
export async function writeIfChanged(path: string, content: Uint8Array | string): Promise<boolean> {
  const bytes = typeof content === 'string' ? Buffer.from(content) : content;
  const before = await readFile(path).catch(() => undefined);
  if (before?.equals(bytes) === true) return false;
  await mkdir(dirname(path), { recursive: true });
  await writeFile(path, bytes);
  return true;
}
