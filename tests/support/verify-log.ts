import { createHash, createPublicKey, verify, type JsonWebKey } from 'node:crypto';

// Verifies logs by FORMAT.md alone, beside `verify-log.py`: with Node's OpenSSL, without WebCrypto, without any of the program's code.

type Json = null | boolean | number | string | readonly Json[] | { readonly [name: string]: Json };
type Members = Readonly<Record<string, Json>>;

/** RFC 8785: members in the order of their UTF-16 code units; numbers and strings as ECMAScript writes them, which is JSON.stringify. */
function canonical(value: Json): string {
  if (value === null || typeof value !== 'object') return JSON.stringify(value);
  if (Array.isArray(value)) return `[${value.map((each: Json) => canonical(each)).join(',')}]`;
  const members = value as Members;
  // Without a comparison of its own, `sort` goes by code units.
  const names = Object.keys(members).sort();
  return `{${names.map((name) => `${JSON.stringify(name)}:${canonical(members[name] ?? null)}`).join(',')}}`;
}

function digest(value: Json): string {
  return createHash('sha256').update(canonical(value), 'utf8').digest('hex');
}

function signedBy(jwk: Json, body: Json, signature: Json): boolean {
  if (typeof signature !== 'string' || !/^[0-9a-f]{128}$/.test(signature)) return false;
  const key = createPublicKey({ key: jwk as unknown as JsonWebKey, format: 'jwk' });
  const bytes = Buffer.from(canonical(body), 'utf8');
  return verify('sha256', bytes, { key, dsaEncoding: 'ieee-p1363' }, Buffer.from(signature, 'hex'));
}

/** What is wrong with a log, in the words of `verify-log.py`; “verified” when nothing is. */
export function verdictOn(text: string): string {
  const log = JSON.parse(text) as Members;
  const header = log['header'] as Members;
  const entries = log['entries'] as readonly Members[];
  const version = header['version'];
  if (header['format'] !== 'two-needles-log' || ![1, 2, 3].includes(Number(version)))
    return 'not a log of version 1, 2 or 3';
  let previous = digest(header);
  let sealed = false;
  for (const [place, entry] of entries.entries()) {
    const body = { index: entry['index'] ?? null, previous: entry['previous'] ?? null, event: entry['event'] ?? null };
    const event = body.event as Members;
    if (body.index !== place || body.previous !== previous || entry['digest'] !== digest(body))
      return `entry ${place} breaks the chain`;
    const late = event['type'] === 'remark' || event['type'] === 'countersigned';
    if (late !== sealed) return `entry ${place} is on the wrong side of the seal`;
    if (event['type'] === 'seal') {
      sealed = true;
      if (event['count'] !== place || event['head'] !== previous) return 'the seal is over something else';
      if (version !== 1 && !isChained(event)) return "the seal does not say which of its device's it is";
    }
    const key = late ? event['key'] : header['device'];
    if ((late || event['type'] === 'seal') && !signedBy(key ?? null, body, entry['signature'] ?? null))
      return `the signature of entry ${place} is wrong`;
    const own = late ? (event['own'] as Members | undefined) : undefined;
    if (own !== undefined) {
      const { signature = null, ...unsigned } = own;
      if (!signedBy(own['key'] ?? null, { ...body, event: { ...event, own: unsigned } }, signature))
        return `the officer's signature of entry ${place} is wrong`;
    }
    previous = entry['digest'];
  }
  if (!sealed) return 'no seal';
  const end = log['end'] as Members;
  return end['count'] === entries.length && end['head'] === previous ? 'verified' : 'the file was cut';
}

/** A seal of version 2 has its number among those of its device, and the digest of the one before. */
function isChained({ number, last }: Members): boolean {
  return typeof number === 'number' && number >= 1 && (number === 1) === (last === undefined);
}

/** What is wrong with the sounds and photos beside a log, by their names; “verified” when nothing is. */
export function verdictOnClips(text: string, files: Readonly<Record<string, Uint8Array>>): string {
  const { entries } = JSON.parse(text) as { entries: readonly { event: Members }[] };
  for (const [name, bytes] of Object.entries(files)) {
    const [, folder, number] = /^(clips|photos)\/(\d{4,6})\.(?:wav|jpg)$/.exec(name) ?? [];
    if (number === undefined) continue;
    const event = entries[Number(number)]?.event;
    const isBound = event?.['clipDigest'] === createHash('sha256').update(bytes).digest('hex');
    if (!isBound || (event['type'] === 'photo') !== (folder === 'photos')) return `${name} is not what was kept`;
  }
  return 'verified';
}
