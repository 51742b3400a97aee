import * as v from 'valibot';
import { bad, good, type Outcome } from '../units/outcome.ts';
import type { LogHeader, PublicKey } from './log.ts';
import { sameKey } from './signer.ts';

/** A key that somebody has compared and named. */
export interface KnownKey {
  /** What the device is called: "Engine 31 tablet". */
  readonly name: string;
  readonly key: PublicKey;
  /** It is an officer's own key, opened by a PIN, and `name` the officer. */
  readonly officer?: true;
}

/** What is known of a key. `unlisted`: no list was given, so nothing can be said. */
export type Standing =
  | { readonly kind: 'own' }
  | { readonly kind: 'known'; readonly name: string }
  | { readonly kind: 'unknown' | 'throwaway' | 'unlisted' };

const FORMAT = 'two-needles-keys';
const MAX_KEYS = 10_000;
export const MAX_KEY_NAME = 60;

/** Base64url of 32 bytes, in its one canonical form: the last digit holds four bits. */
const coordinate = v.pipe(v.string(), v.regex(/^[\w-]{42}[AEIMQUYcgkosw048]$/));
/** The shape of a known key in a file. */
export const knownKeySchema = v.strictObject({
  name: v.pipe(v.string(), v.trim(), v.nonEmpty(), v.maxLength(MAX_KEY_NAME), v.regex(/^[^\p{Cc}\p{Cf}]*$/u)),
  key: v.strictObject({ kty: v.literal('EC'), crv: v.literal('P-256'), x: coordinate, y: coordinate }),
  officer: v.exactOptional(v.literal(true)),
});
const list = v.strictObject({
  format: v.literal(FORMAT),
  version: v.picklist([1, 2]),
  keys: v.pipe(v.array(knownKeySchema), v.maxLength(MAX_KEYS)),
});

/** The text of a list of known keys, to be given to other devices. */
export function writeKeys(keys: readonly KnownKey[]): string {
  const version = keys.some(({ officer }) => officer === true) ? 2 : 1;
  return `${JSON.stringify({ format: FORMAT, version, keys }, null, 1)}\n`;
}

/** Reads a list of known keys. `where` names the file in problems. */
export function readKeys(text: string, where: string): Outcome<readonly KnownKey[]> {
  let json: unknown;
  try {
    json = JSON.parse(text.replace(/^\ufeff/, ''));
  } catch {
    return bad('The list of keys is cut short, or is not JSON.', where, 'Export it again.');
  }
  const parsed = v.safeParse(list, json, { abortEarly: true });
  if (parsed.success) return good(parsed.output.keys);
  const [issue] = parsed.issues;
  const path = (issue.path ?? []).map(({ key }) => String(key)).join('.');
  return path === '' || path === 'format'
    ? bad('This is not a list of known keys.', where, 'Export one under Logs, or with verify --new-key.')
    : bad(`The ${path} of the list of keys is not as it should be.`, where, 'Export it again.');
}

/** A key and its name as the query of an address that offers it to another device, by QR code or message. */
export function keyQuery({ name, key: { x, y }, officer }: KnownKey): string {
  return new URLSearchParams({ name, x, y, ...(officer === true ? { officer: '1' } : {}) }).toString();
}

/** The key that an address offers; undefined when it offers none. */
export function keyOfQuery(query: string): KnownKey | undefined {
  const { name, x, y, officer } = Object.fromEntries(new URLSearchParams(query));
  const whose = officer === '1' ? { officer: true } : {};
  const parsed = v.safeParse(knownKeySchema, { name, key: { kty: 'EC', crv: 'P-256', x, y }, ...whose });
  return parsed.success ? parsed.output : undefined;
}

/** The list with more keys; one that is there already takes the new name. */
export function withKeys(known: readonly KnownKey[], more: readonly KnownKey[]): readonly KnownKey[] {
  const renamed = known.map((each) => more.find(({ key }) => sameKey(key, each.key)) ?? each);
  const fresh = more.filter(({ key }, at) => {
    const same = (each: KnownKey): boolean => sameKey(each.key, key);
    return !known.some(same) && more.findIndex(same) === at;
  });
  return [...renamed, ...fresh];
}

/** What is known of a key. `known` is undefined where nobody keeps a list. */
export function standingOf(
  key: PublicKey,
  known: readonly KnownKey[] | undefined,
  own?: PublicKey,
): Exclude<Standing, { kind: 'throwaway' }> {
  if (own !== undefined && sameKey(own, key)) return { kind: 'own' };
  if (known === undefined) return { kind: 'unlisted' };
  const found = known.find((each) => sameKey(each.key, key));
  return found === undefined ? { kind: 'unknown' } : { kind: 'known', name: found.name };
}

/** What is known of the key that sealed a log. */
export function sealerOf(
  { device, throwaway }: LogHeader,
  known: readonly KnownKey[] | undefined,
  own?: PublicKey,
): Standing {
  return throwaway === true ? { kind: 'throwaway' } : standingOf(device, known, own);
}
