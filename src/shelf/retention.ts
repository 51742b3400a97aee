import * as v from 'valibot';
import { canonicalBytes } from '../record/canonical.ts';
import { publicKey } from '../record/event-shape.ts';
import type { PublicKey } from '../record/log.ts';
import { isSignedBy, type Signer } from '../record/signer.ts';
import { sha256 } from '../units/sha256.ts';
import { dayOf, isDay, RETENTION } from './names.ts';

const FORMAT = 'two-needles-retention';

/** A district's word that it deletes the checks of days before this one, so that they are not taken for stolen. */
export interface Retention {
  /** The first day that stays. */
  readonly before: string;
  /** ISO 8601. */
  readonly wall: string;
  readonly key: PublicKey;
}

const retention = v.strictObject({
  format: v.literal(FORMAT),
  version: v.literal(1),
  before: v.pipe(v.string(), v.check(isDay)),
  wall: v.string(),
  key: publicKey,
  signature: v.string(),
});

const NAME = /^\d{4}-\d{2}-\d{2}_[0-9a-f]{64}\.json$/;

/** Whether something in the folder of statements has the name of one. */
export function isStatementName(file: string): boolean {
  return NAME.test(file);
}

/** A statement of retention as an object, with its name. */
export async function writeRetention(
  before: string,
  wall: string,
  signer: Signer,
): Promise<{ readonly name: string; readonly bytes: Uint8Array<ArrayBuffer> }> {
  const body = { format: FORMAT, version: 1, before, wall, key: signer.publicKey } as const;
  const bytes = canonicalBytes({ ...body, signature: await signer.sign(canonicalBytes(body)) });
  return { name: `${RETENTION}/${before}_${await sha256(bytes)}.json`, bytes };
}

/** What a statement says; undefined when it is none, or its signature is not of its key. */
export async function readRetention(bytes: Uint8Array<ArrayBuffer>): Promise<Retention | undefined> {
  const parsed = v.safeParse(v.pipe(v.string(), v.parseJson(), retention), new TextDecoder().decode(bytes));
  if (!parsed.success) return undefined;
  const { signature, ...body } = parsed.output;
  // Of days that were not over nobody can have said that they are old: what is made later must never go unmissed by an earlier word.
  if (body.before > dayOf(body.wall)) return undefined;
  return (await isSignedBy(body.key, canonicalBytes(body), signature)) ? body : undefined;
}
