import { good, type Outcome } from '../units/outcome.ts';

/** The bytes of a file, read when they are asked for, so that sounds are never all in memory. */
export type Contents = () => Promise<Outcome<Uint8Array<ArrayBuffer>>>;

/** Files by name. */
export type Files = ReadonlyMap<string, Contents>;

/** Clips by the place of the entry that names them. */
export type Clips = ReadonlyMap<number, Contents>;

export function contentsOf(bytes: Uint8Array<ArrayBuffer>): Contents {
  return () => Promise.resolve(good(bytes));
}

/** As much of a file as is read here; a `Blob` is one. */
export interface Source {
  readonly size: number;
  slice(start: number, end?: number): Source;
  /** Rejects when the file cannot be read any more. */
  arrayBuffer(): Promise<ArrayBuffer>;
}

/** Bytes in memory as a source. */
export function bytesSource(bytes: Uint8Array<ArrayBuffer>): Source {
  return {
    size: bytes.length,
    slice: (start, end) => bytesSource(bytes.subarray(Math.max(0, start), Math.max(0, end ?? bytes.length))),
    arrayBuffer: () => Promise.resolve(bytes.slice().buffer),
  };
}
