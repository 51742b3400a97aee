import { bytesToHex } from '@noble/hashes/utils.js';
import * as v from 'valibot';
import { bad, good, type Outcome } from '../units/outcome.ts';
import { canonicalBytes, fromHex } from './canonical.ts';
import { publicKey } from './event-shape.ts';
import type { PublicKey } from './log.ts';
import { signerOf, thumbprint, type Signer } from './signer.ts';

/**
 * Rounds of PBKDF2 with HMAC-SHA-256: what the OWASP Password Storage Cheat Sheet asked for when this was written. The figure is
 * from memory, not looked up. A wrong PIN costs whoever tries it as much as a right one.
 */
const PIN_ROUNDS = 600_000;
const LEAST_PIN = 6;
export const MOST_PIN = 64;
const SALT_BYTES = 16;
/** What NIST SP 800-38D recommends for GCM. */
const IV_BYTES = 12;

const hex = (bytes: number) => v.pipe(v.string(), v.regex(new RegExp(`^[0-9a-f]{${2 * bytes}}$`)));
/** An officer's key as it is kept: the private part is sealed by the PIN. */
export const lockedKeySchema = v.strictObject({
  key: v.strictObject(publicKey.entries),
  /** ISO 8601, when it was made. */
  made: v.pipe(v.string(), v.isoTimestamp()),
  /** Thumbprint of the key whose PIN was forgotten, in hex. */
  replaces: v.exactOptional(hex(32)),
  lock: v.strictObject({
    kdf: v.literal('PBKDF2-SHA-256'),
    rounds: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(10_000_000)),
    salt: hex(SALT_BYTES),
    iv: hex(IV_BYTES),
    sealed: v.pipe(v.string(), v.regex(/^([0-9a-f]{2}){17,1024}$/)),
  }),
});
export type LockedKey = v.InferOutput<typeof lockedKeySchema>;

/** An officer's key that a PIN has opened: signs what that officer stands for. */
export interface OfficerKey {
  readonly signer: Signer;
  /** As in `LockedKey`. */
  readonly made: string;
  readonly replaces?: string;
}

/** Why a PIN cannot be one, in a line; undefined when it can. */
export function pinTrouble(pin: string): string | undefined {
  if (pin.length < LEAST_PIN) return `A PIN has at least ${LEAST_PIN} digits or letters.`;
  if (pin.length > MOST_PIN) return `A PIN has at most ${MOST_PIN} digits or letters.`;
  const codes = Array.from(pin, (each) => each.charCodeAt(0));
  const steps = new Set(codes.slice(1).map((code, at) => code - (codes[at] ?? 0)));
  const [step = 0] = steps;
  const isRun = steps.size === 1 && Math.abs(step) <= 1;
  return isRun ? 'That PIN is guessed first: take one that is no row and no repeat.' : undefined;
}

/**
 * A new key pair, its private part sealed by the PIN. `made` is ISO 8601; `replaces` the key before it, whose PIN was forgotten. A PIN that is
 * too short, too long or too plain is a problem.
 */
export async function newOfficerKey(
  pin: string,
  made: string,
  replaces?: PublicKey,
  rounds = PIN_ROUNDS,
): Promise<Outcome<LockedKey>> {
  const trouble = pinTrouble(pin);
  if (trouble !== undefined) return bad(trouble);
  const pair = await crypto.subtle.generateKey({ name: 'ECDSA', namedCurve: 'P-256' }, true, ['sign', 'verify']);
  const { publicKey: key } = await signerOf(pair);
  const [salt, iv] = [random(SALT_BYTES), random(IV_BYTES)];
  const cipher = { name: 'AES-GCM', iv, additionalData: canonicalBytes(key) };
  const sealed = await crypto.subtle.encrypt(
    cipher,
    await keyOfPin(pin, salt, rounds),
    await crypto.subtle.exportKey('pkcs8', pair.privateKey),
  );
  return good({
    key,
    made,
    ...(replaces === undefined ? {} : { replaces: await thumbprint(replaces) }),
    lock: {
      kdf: 'PBKDF2-SHA-256',
      rounds,
      salt: bytesToHex(salt),
      iv: bytesToHex(iv),
      sealed: bytesToHex(new Uint8Array(sealed)),
    },
  });
}

/** The key that a PIN opens; undefined when it is the wrong PIN, or what was kept has been changed. */
export async function openOfficerKey(
  { key, made, replaces, lock }: LockedKey,
  pin: string,
): Promise<OfficerKey | undefined> {
  const { rounds, salt, iv, sealed } = lock;
  const cipher = { name: 'AES-GCM', iv: bytesOf(iv), additionalData: canonicalBytes(key) };
  try {
    const raw = await crypto.subtle.decrypt(cipher, await keyOfPin(pin, bytesOf(salt), rounds), bytesOf(sealed));
    const kind = { name: 'ECDSA', namedCurve: 'P-256' };
    const privateKey = await crypto.subtle.importKey('pkcs8', raw, kind, false, ['sign']);
    const sign: Signer['sign'] = async (bytes) =>
      bytesToHex(new Uint8Array(await crypto.subtle.sign({ name: 'ECDSA', hash: 'SHA-256' }, privateKey, bytes)));
    return { signer: { publicKey: key, sign }, made, ...(replaces === undefined ? {} : { replaces }) };
  } catch {
    return undefined;
  }
}

async function keyOfPin(pin: string, salt: Uint8Array<ArrayBuffer>, rounds: number): Promise<CryptoKey> {
  // One person's keyboard may write a letter in another form than the next one's.
  const secret = new TextEncoder().encode(pin.normalize('NFC'));
  const raw = await crypto.subtle.importKey('raw', secret, 'PBKDF2', false, ['deriveKey']);
  const kdf = { name: 'PBKDF2', hash: 'SHA-256', salt, iterations: rounds };
  return crypto.subtle.deriveKey(kdf, raw, { name: 'AES-GCM', length: 256 }, false, ['encrypt', 'decrypt']);
}

function random(bytes: number): Uint8Array<ArrayBuffer> {
  return crypto.getRandomValues(new Uint8Array(bytes));
}

function bytesOf(text: string): Uint8Array<ArrayBuffer> {
  return fromHex(text) ?? new Uint8Array();
}
