import * as v from 'valibot';
import { canonicalBytes } from './canonical.ts';
import { sha256 } from '../units/sha256.ts';
import { publicKey } from './event-shape.ts';
import type { LogFile, PublicKey } from './log.ts';
import { isSignedBy, type Signer } from './signer.ts';

export const MANIFEST_NAME = 'manifest.json';
const FORMAT = 'two-needles-manifest';

/** The seal of an export: binds the files beside a log to it. See FORMAT.md. */
interface Manifest {
  readonly format: typeof FORMAT;
  readonly version: 1;
  readonly check: string;
  /** The end of the log that the files were made from. */
  readonly count: number;
  readonly head: string;
  /** SHA-256 of each file's bytes, by name. */
  readonly files: Readonly<Record<string, string>>;
  /** ISO 8601. */
  readonly wall: string;
  /** Of the device that exported: the sealing device, or another. */
  readonly key: PublicKey;
  /** Of the canonical JSON of all other members. */
  readonly signature: string;
}

const manifest = v.strictObject({
  format: v.literal(FORMAT),
  version: v.literal(1),
  check: v.string(),
  count: v.number(),
  head: v.string(),
  files: v.record(v.string(), v.string()),
  wall: v.string(),
  key: publicKey,
  signature: v.string(),
});

/** The manifest over the files that were made from a log. */
export async function signManifest(
  { header, end }: LogFile,
  files: ReadonlyMap<string, Uint8Array<ArrayBuffer>>,
  wall: string,
  signer: Signer,
): Promise<Manifest> {
  const digests: Record<string, string> = {};
  for (const [name, bytes] of files) digests[name] = await sha256(bytes);
  const body = {
    format: FORMAT,
    version: 1,
    check: header.check,
    count: end.count,
    head: end.head,
    files: digests,
    wall,
    key: signer.publicKey,
  } as const;
  return { ...body, signature: await signer.sign(canonicalBytes(body)) };
}

/** What a manifest says, once it has been found to be signed and to be this log's; else one plain sentence. */
export async function readSignedManifest(
  text: string,
  { header, end }: LogFile,
): Promise<Pick<Manifest, 'files' | 'key'> | string> {
  const parsed = v.safeParse(v.pipe(v.string(), v.parseJson(), manifest), text);
  if (!parsed.success) return `${MANIFEST_NAME} is not a manifest, or was edited.`;
  const { signature, ...body } = parsed.output;
  if (!(await isSignedBy(body.key, canonicalBytes(body), signature)))
    return `The signature of ${MANIFEST_NAME} is not of its key: it was edited.`;
  if (body.check !== header.check || body.count !== end.count || body.head !== end.head)
    return `${MANIFEST_NAME} belongs to another log, or to an earlier state of this one.`;
  return body;
}
