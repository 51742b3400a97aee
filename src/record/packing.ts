import type { KnownKey } from './known-keys.ts';
import type { Signer } from './signer.ts';

/** Who exports: signs the manifest, and says in the report whether the key of the log is known. */
export interface Packing {
  readonly signer: Signer;
  /** ISO 8601. */
  readonly wall: string;
  /** Keys that the exporting device knows beside its own. */
  readonly known: readonly KnownKey[];
}
