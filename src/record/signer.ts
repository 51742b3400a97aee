import { bytesToHex } from '@noble/hashes/utils.js';
import { sha256 } from '../units/sha256.ts';
import { canonicalBytes, fromHex } from './canonical.ts';
import type { PublicKey } from './log.ts';

const KEY = { name: 'ECDSA', namedCurve: 'P-256' } as const;
const SIGNING = { name: 'ECDSA', hash: 'SHA-256' } as const;

/** Signs for a device; the private key never leaves it. */
export interface Signer {
  readonly publicKey: PublicKey;
  /** The key ends with the program: its seals are checksums. */
  readonly throwaway?: true;
  /** r and s as hex, 128 digits. */
  sign(bytes: Uint8Array<ArrayBuffer>): Promise<string>;
}

/** A new pair whose private key can be used and stored, but not read. */
export function newKeyPair(): Promise<CryptoKeyPair> {
  return crypto.subtle.generateKey(KEY, false, ['sign', 'verify']);
}

export async function signerOf(pair: CryptoKeyPair): Promise<Signer> {
  const { x, y } = await crypto.subtle.exportKey('jwk', pair.publicKey);
  if (x === undefined || y === undefined) throw new TypeError('This is not a key on a curve.');
  return {
    publicKey: { kty: 'EC', crv: 'P-256', x, y },
    sign: async (bytes) => bytesToHex(new Uint8Array(await crypto.subtle.sign(SIGNING, pair.privateKey, bytes))),
  };
}

/** A signer whose key ends with the program: its seals are checksums, and say so. */
export async function throwawaySigner(): Promise<Signer> {
  return { ...(await signerOf(await newKeyPair())), throwaway: true };
}

/** True when `signature` is that of `key` over `bytes`. A key or signature that is none gives false. */
export async function isSignedBy(key: PublicKey, bytes: Uint8Array<ArrayBuffer>, signature: string): Promise<boolean> {
  const raw = fromHex(signature);
  if (raw?.length !== 64) return false;
  try {
    const publicKey = await readyKey(key);
    return await crypto.subtle.verify(SIGNING, publicKey, raw, bytes);
  } catch {
    return false;
  }
}

/** The keys used last, ready: the logs of a station are signed by a few, and making one ready takes as long as using it. */
const ready = new Map<string, CryptoKey>();
const MOST_READY = 64;

async function readyKey({ kty, crv, x, y }: PublicKey): Promise<CryptoKey> {
  const id = `${kty} ${crv} ${x} ${y}`;
  const kept = ready.get(id);
  if (kept !== undefined) return kept;
  const made = await crypto.subtle.importKey('jwk', { kty, crv, x, y }, KEY, false, ['verify']);
  const [oldest] = ready.keys();
  if (ready.size >= MOST_READY && oldest !== undefined) ready.delete(oldest);
  ready.set(id, made);
  return made;
}

/** The SHA-256 thumbprint of a key (RFC 7638), in hex. */
export function thumbprint({ kty, crv, x, y }: PublicKey): Promise<string> {
  return sha256(canonicalBytes({ crv, kty, x, y }));
}

/** The name of a key that people can compare: the first 16 digits of its thumbprint, in fours. */
export async function keyName(key: PublicKey): Promise<string> {
  return (await thumbprint(key)).slice(0, 16).match(/.{4}/g)?.join(' ') ?? '';
}

export function sameKey(one: PublicKey, other: PublicKey): boolean {
  return one.x === other.x && one.y === other.y;
}
