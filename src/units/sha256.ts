import { sha256 as small } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';

/** Below so many bytes the host's own digest costs more in waiting than it saves: entries of a log are some hundred bytes each. */
const SMALL = 64 * 2 ** 10;

/** What a host offers where it has WebCrypto; a page without a secure context has none. */
interface MaybeSubtle {
  readonly crypto?: {
    readonly subtle?: { digest(name: 'SHA-256', bytes: Uint8Array<ArrayBuffer>): Promise<ArrayBuffer> };
  };
}

/** SHA-256 of bytes (FIPS 180-4), as 64 lower-case hex digits; the same on every host. */
export async function sha256(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const subtle = (globalThis as MaybeSubtle).crypto?.subtle;
  if (bytes.length < SMALL || subtle === undefined) return bytesToHex(small(bytes));
  return bytesToHex(new Uint8Array(await subtle.digest('SHA-256', bytes)));
}
