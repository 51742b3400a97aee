import { constants } from 'node:fs';
import { open, type FileHandle } from 'node:fs/promises';
import type { Source } from '../../record/contents.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { plainError } from './plain-error.ts';

/** Opens a file to be read. Pipes and devices, which may never end, are refused; opening them does not wait. */
export async function openFile(path: string): Promise<Outcome<FileHandle>> {
  if (path === '') return bad('the name of the file is empty.');
  let handle: FileHandle | undefined;
  try {
    handle = await open(path, constants.O_RDONLY | constants.O_NONBLOCK);
    const facts = await handle.stat();
    if (facts.isFile()) return good(handle);
    await handle.close();
    return facts.isDirectory()
      ? bad('this is a folder, not a file.', path)
      : bad('this is a pipe or a device, not a file.', path, 'Write it to a file first.');
  } catch (error) {
    await handle?.close();
    const code = error instanceof Error && 'code' in error ? error.code : undefined;
    if (code === 'ENOENT') return bad('there is no such file.', path);
    if (code === 'EACCES') return bad('the file may not be read.', path);
    const { message } = error instanceof Error ? error : { message: '' };
    return bad(plainError(Object.assign(new Error(message), { code })), path);
  }
}

/** An open file as a source that is read piece by piece. */
export async function fileSource(handle: FileHandle): Promise<Source> {
  const { size } = await handle.stat();
  return part(handle, 0, size);
}

function part(handle: FileHandle, from: number, to: number): Source {
  const size = Math.max(0, to - from);
  const within = (at: number): number => from + Math.min(size, Math.max(0, at));
  return {
    size,
    slice: (start, end = size) => part(handle, within(start), within(end)),
    async arrayBuffer() {
      const bytes = new Uint8Array(size);
      for (let read = 0; read < size;) {
        const { bytesRead } = await handle.read(bytes, read, size - read, from + read);
        if (bytesRead === 0) throw new Error('the file became shorter while it was read.');
        read += bytesRead;
      }
      return bytes.buffer;
    },
  };
}
