/**
 * The part of `wasi_snapshot_preview1` that a command-line program needs which reads its arguments, prints, and writes
 * files: one preopened directory `/`, every file in memory. Works wherever WebAssembly does.
 * Numbers of errors and flags: the WASI preview 1 witx files.
 */
export interface WasiRun {
  readonly imports: WebAssembly.Imports;
  /** Must be set to the instance's memory before `_start` is called. */
  memory: WebAssembly.Memory | undefined;
  /** The bytes of a written file, by its path without the leading slash. */
  file(path: string): Uint8Array | undefined;
  /** What the program printed on stdout and stderr. */
  printed(): string;
}

/** Thrown by `proc_exit` to unwind the program; carries its exit status. */
export class WasiExit extends Error {
  readonly status: number;
  constructor(status: number) {
    super(`the program ended with status ${status}`);
    this.status = status;
  }
}

const OK = 0;
const BAD_FD = 8;
const NO_ENTRY = 44;
const FILETYPE_CHARACTER = 2;
const FILETYPE_DIRECTORY = 3;
const FILETYPE_REGULAR = 4;
const OPEN_CREATE = 1;
const OPEN_TRUNCATE = 8;
const ROOT_FD = 3;

interface MemoryFile {
  bytes: Uint8Array;
  length: number;
}

function write(file: MemoryFile, at: number, data: Uint8Array): void {
  const end = at + data.length;
  if (end > file.bytes.length) {
    const grown = new Uint8Array(Math.max(end, file.bytes.length * 2, 65_536));
    grown.set(file.bytes.subarray(0, file.length));
    file.bytes = grown;
  }
  file.bytes.set(data, at);
  file.length = Math.max(file.length, end);
}

export function wasiRun(args: readonly string[]): WasiRun {
  const files = new Map<string, MemoryFile>();
  const open = new Map<number, { readonly file: MemoryFile; at: number }>();
  const output: MemoryFile = { bytes: new Uint8Array(0), length: 0 };
  const argv = args.map((arg) => new TextEncoder().encode(`${arg}\0`));
  let nextFd = ROOT_FD + 1;

  const imports: WebAssembly.Imports = {};
  const run: WasiRun = {
    imports,
    memory: undefined,
    file(path) {
      const file = files.get(path);
      return file?.bytes.subarray(0, file.length);
    },
    printed: () => new TextDecoder().decode(output.bytes.subarray(0, output.length)),
  };
  // The memory's buffer is replaced whenever it grows, so it is looked up in every call.
  const buffer = (): ArrayBuffer => {
    if (run.memory === undefined) throw new Error('wasiRun: set `memory` before `_start`');
    return run.memory.buffer;
  };
  const view = (): DataView => new DataView(buffer());
  const bytes = (at: number, length: number): Uint8Array => new Uint8Array(buffer(), at, length);
  const vectors = (at: number, count: number): Uint8Array[] =>
    Array.from({ length: count }, (_, i) =>
      bytes(view().getUint32(at + i * 8, true), view().getUint32(at + i * 8 + 4, true)),
    );

  imports['wasi_snapshot_preview1'] = {
    args_sizes_get(countAt: number, sizeAt: number): number {
      view().setUint32(countAt, argv.length, true);
      view().setUint32(
        sizeAt,
        argv.reduce((sum, arg) => sum + arg.length, 0),
        true,
      );
      return OK;
    },
    args_get(pointersAt: number, textAt: number): number {
      let at = textAt;
      argv.forEach((arg, i) => {
        view().setUint32(pointersAt + i * 4, at, true);
        bytes(at, arg.length).set(arg);
        at += arg.length;
      });
      return OK;
    },
    // A fixed clock: the same text always gives the same bytes.
    clock_time_get(_id: number, _precision: bigint, at: number): number {
      view().setBigUint64(at, 0n, true);
      return OK;
    },
    fd_prestat_get(fd: number, at: number): number {
      if (fd !== ROOT_FD) return BAD_FD;
      view().setUint32(at, 0, true);
      view().setUint32(at + 4, 1, true);
      return OK;
    },
    fd_prestat_dir_name(fd: number, at: number): number {
      if (fd !== ROOT_FD) return BAD_FD;
      bytes(at, 1).set([0x2f]);
      return OK;
    },
    fd_fdstat_get(fd: number, at: number): number {
      bytes(at, 24).fill(0);
      const type = fd < ROOT_FD ? FILETYPE_CHARACTER : fd === ROOT_FD ? FILETYPE_DIRECTORY : FILETYPE_REGULAR;
      view().setUint8(at, type);
      view().setBigUint64(at + 8, 0xffff_ffffn, true);
      view().setBigUint64(at + 16, 0xffff_ffffn, true);
      return OK;
    },
    fd_fdstat_set_flags: (): number => OK,
    path_open(
      _dir: number,
      _lookup: number,
      pathAt: number,
      pathLength: number,
      flags: number,
      _rights: bigint,
      _inherited: bigint,
      _fdFlags: number,
      fdAt: number,
    ): number {
      const path = new TextDecoder().decode(bytes(pathAt, pathLength)).replace(/^\/+/, '');
      let file = files.get(path);
      if (file === undefined) {
        if ((flags & OPEN_CREATE) === 0) return NO_ENTRY;
        file = { bytes: new Uint8Array(0), length: 0 };
        files.set(path, file);
      }
      if ((flags & OPEN_TRUNCATE) !== 0) file.length = 0;
      open.set(nextFd, { file, at: 0 });
      view().setUint32(fdAt, nextFd, true);
      nextFd += 1;
      return OK;
    },
    fd_close: (fd: number): number => (open.delete(fd) ? OK : BAD_FD),
    fd_seek(fd: number, offset: bigint, whence: number, at: number): number {
      const handle = open.get(fd);
      if (handle === undefined) return BAD_FD;
      const base = whence === 0 ? 0 : whence === 1 ? handle.at : handle.file.length;
      handle.at = base + Number(offset);
      view().setBigUint64(at, BigInt(handle.at), true);
      return OK;
    },
    fd_read(fd: number, vectorsAt: number, count: number, readAt: number): number {
      const handle = open.get(fd);
      if (handle === undefined) return BAD_FD;
      let read = 0;
      for (const target of vectors(vectorsAt, count)) {
        const part = handle.file.bytes.subarray(handle.at, Math.min(handle.at + target.length, handle.file.length));
        target.set(part);
        handle.at += part.length;
        read += part.length;
      }
      view().setUint32(readAt, read, true);
      return OK;
    },
    fd_write(fd: number, vectorsAt: number, count: number, writtenAt: number): number {
      const handle = open.get(fd);
      if (handle === undefined && fd >= ROOT_FD) return BAD_FD;
      let written = 0;
      for (const data of vectors(vectorsAt, count)) {
        if (handle === undefined) write(output, output.length, data);
        else {
          write(handle.file, handle.at, data);
          handle.at += data.length;
        }
        written += data.length;
      }
      view().setUint32(writtenAt, written, true);
      return OK;
    },
    proc_exit(status: number): never {
      throw new WasiExit(status);
    },
  };
  return run;
}
