import * as v from 'valibot';
import { knownKeySchema, type KnownKey } from '../record/known-keys.ts';
import { bad, type Outcome } from '../units/outcome.ts';
import { readBySchema } from '../units/read-by-schema.ts';
import { isStation } from './names.ts';

/** A bucket by the S3 protocol. */
export interface S3Address {
  readonly kind: 's3';
  /** Of the bucket itself, which is addressed by path. */
  readonly address: string;
  readonly region: string;
  readonly accessKeyId: string;
  readonly secretAccessKey: string;
}

/** A folder by WebDAV. */
export interface WebdavAddress {
  readonly kind: 'webdav';
  readonly address: string;
  readonly user: string;
  readonly password: string;
}

/** Where a district's checks are collected, and whose they are. Holds secrets. */
export interface ShelfFile {
  readonly format: typeof FORMAT;
  readonly version: 1;
  /** Of the shelf, for people. */
  readonly name: string;
  /** Under which a device puts its checks; absent in a file that only reads, which sees all stations. */
  readonly station?: string;
  readonly place: S3Address | WebdavAddress;
  /** Keys that the station knows. */
  readonly keys: readonly KnownKey[];
}

const FORMAT = 'two-needles-shelf';
const LOOPBACK = /^(localhost|127(\.\d{1,3}){3}|\[::1\])$/;
const MAX_TEXT = 1024;

const text = v.pipe(v.string(), v.nonEmpty(), v.maxLength(MAX_TEXT));
const address = v.pipe(
  text,
  v.check((given) => URL.canParse(given), 'is no address'),
  v.check((given) => {
    const { protocol, hostname } = new URL(given);
    return protocol === 'https:' || (protocol === 'http:' && LOOPBACK.test(hostname));
  }, 'is not secure: what is sent there could be read and changed on the way; it has to begin with https'),
  v.check((given) => {
    const { search, hash, username, password } = new URL(given);
    return [search, hash, username, password].every((part) => part === '');
  }, 'has more in it than host and path'),
);

const file = v.strictObject({
  format: v.literal(FORMAT),
  version: v.literal(1),
  name: v.pipe(v.string(), v.trim(), v.nonEmpty(), v.maxLength(60), v.regex(/^[^\p{Cc}\p{Cf}]*$/u)),
  station: v.exactOptional(
    v.pipe(
      v.string(),
      v.check(isStation, 'has other signs than small letters, digits and hyphens, or is a name of our own'),
    ),
  ),
  place: v.variant('kind', [
    v.strictObject({ kind: v.literal('s3'), address, region: text, accessKeyId: text, secretAccessKey: text }),
    v.strictObject({ kind: v.literal('webdav'), address, user: text, password: text }),
  ]),
  keys: v.optional(v.array(knownKeySchema), []),
});

/** Reads a shelf file, or the text of its QR code. `where` names it in problems. */
export function readShelfFile(given: string, where: string): Outcome<ShelfFile> {
  let json: unknown;
  try {
    json = JSON.parse(given.replace(/^\ufeff/, ''));
  } catch {
    return bad('This is not a shelf file: it is cut short, or is not JSON.', where, 'Ask the district for it again.');
  }
  if (!v.is(v.looseObject({ format: v.literal(FORMAT) }), json))
    return bad('This is not a shelf file.', where, 'Ask the district for one.');
  return readBySchema(file, json, where);
}

/** The text of a shelf file: as small as it can be, for a QR code, when `small`. */
export function writeShelfFile(shelf: ShelfFile, small = false): string {
  return small ? JSON.stringify(shelf) : `${JSON.stringify(shelf, null, 1)}\n`;
}
