import type { Problem } from '../units/outcome.ts';

/**
 * Why a shelf did not do what it was asked. `offline`: nothing came back. `busy`: it asks for patience, or has a fault of its own.
 * `clock`: the two clocks are too far apart. `rights`, `room`, `address`: somebody has to mend it. `object`: it takes no object like this one.
 */
export type Why = 'offline' | 'busy' | 'clock' | 'rights' | 'room' | 'address' | 'object';

export interface Refused {
  readonly kind: 'refused';
  readonly why: Why;
  readonly problem: Problem;
  /** Ms for which it asked to be left alone. */
  readonly after?: number;
  /** ISO 8601 time of the store, where it tells. */
  readonly theirs?: string;
}

/** `there`: an object of that name is there already, and was left as it is. */
export type PutAnswer = { readonly kind: 'put' | 'there' } | Refused;
export type GetAnswer =
  | { readonly kind: 'got'; readonly bytes: Uint8Array<ArrayBuffer> }
  | { readonly kind: 'none' }
  | Refused;
export type ListAnswer =
  | { readonly kind: 'listed'; readonly files: readonly string[]; readonly folders: readonly string[] }
  | Refused;

/**
 * A place that stores objects by name, which somebody else runs: a bucket, or a WebDAV folder. Names are relative to its address, with
 * `/` between folders. Nothing rejects but for a programmer's error or the signal.
 */
export interface Place {
  /** `once`: only if there is nothing of that name. Else it takes the place of what is there. */
  put(name: string, bytes: Uint8Array<ArrayBuffer>, how: 'once' | 'again'): Promise<PutAnswer>;
  get(name: string): Promise<GetAnswer>;
  /** What lies in a folder, by the last part of its name, in order; nothing of a folder that is not there. */
  list(folder: string): Promise<ListAnswer>;
  /** `none` when there was nothing. */
  remove(name: string): Promise<{ readonly kind: 'removed' | 'none' } | Refused>;
}
