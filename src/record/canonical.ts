import canonicalize from 'canonicalize';

const UTF8 = new TextEncoder();

/**
 * The bytes that digests and signatures are made of: canonical JSON (RFC 8785) in UTF-8.
 * Throws for what JSON cannot hold (NaN, a function).
 */
export function canonicalBytes(value: unknown): Uint8Array<ArrayBuffer> {
  const text = canonicalize(value);
  if (text === undefined) throw new TypeError('This value has no JSON.');
  return UTF8.encode(text);
}

/** The bytes of lower-case hex digits; undefined for anything else, so that a text has one form only. */
export function fromHex(text: string): Uint8Array<ArrayBuffer> | undefined {
  if (!/^(?:[0-9a-f]{2})*$/.test(text)) return undefined;
  const bytes = new Uint8Array(text.length / 2);
  for (let at = 0; at < bytes.length; at += 1) bytes[at] = Number.parseInt(text.slice(2 * at, 2 * at + 2), 16);
  return bytes;
}
