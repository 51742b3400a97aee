import { open, readFile, rename, rm } from 'node:fs/promises';
import * as v from 'valibot';
import type { KnownKey } from '../../record/known-keys.ts';
import { readKeys, writeKeys } from '../../record/known-keys.ts';
import type { PublicKey } from '../../record/log.ts';
import type { SealPlace } from '../../record/seal-chain.ts';
import { signerOf, type Signer } from '../../record/signer.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { readBytes, readJson } from './read-inputs.ts';

const FORMAT = 'two-needles-key';
const KEY = { name: 'ECDSA', namedCurve: 'P-256' } as const;

const coordinate = v.pipe(v.string(), v.regex(/^[\w-]{43}$/));
const file = v.strictObject({
  format: v.literal(FORMAT),
  version: v.literal(1),
  name: v.string(),
  private: v.strictObject({
    kty: v.literal('EC'),
    crv: v.literal('P-256'),
    x: coordinate,
    y: coordinate,
    d: coordinate,
  }),
  last: v.exactOptional(
    v.strictObject({ number: v.pipe(v.number(), v.safeInteger(), v.minValue(1)), digest: v.string() }),
  ),
});
type KeyFile = v.InferOutput<typeof file>;

/** A key that a user keeps in a file, and where its seals stand. */
export interface KeptKey {
  readonly signer: Signer;
  readonly last: SealPlace | undefined;
  /** Keeps where the seals stand now, all or nothing. */
  keep(last: SealPlace): Promise<void>;
}

/** Makes a key and writes it to a file that only its owner may read; never over another file. */
export async function newKeyFile(path: string, name: string): Promise<KnownKey> {
  const pair = await crypto.subtle.generateKey(KEY, true, ['sign', 'verify']);
  const { x = '', y = '', d = '' } = await crypto.subtle.exportKey('jwk', pair.privateKey);
  const key: PublicKey = { kty: 'EC', crv: 'P-256', x, y };
  const handle = await open(path, 'wx', 0o600);
  try {
    await handle.writeFile(text({ format: FORMAT, version: 1, name, private: { ...key, d } }));
    await handle.sync();
  } finally {
    await handle.close();
  }
  return { name, key };
}

/** The name of a key, as lists of known keys take it; else a problem. */
export function checkKeyName(name: string): Outcome<string> {
  const blank: PublicKey = { kty: 'EC', crv: 'P-256', x: 'A'.repeat(43), y: 'A'.repeat(43) };
  const read = readKeys(writeKeys([{ name, key: blank }]), '--name');
  return read.ok
    ? good(name.trim())
    : bad('a key needs a name of at most 60 printable characters.', '--name', 'Name the device or the desk.');
}

/** Opens a key that `newKeyFile` has made. */
export async function openKeyFile(path: string): Promise<Outcome<KeptKey>> {
  const json = await readJson(path);
  if (!json.ok) return json;
  const parsed = v.safeParse(file, json.value);
  const refused = bad('this is not a key.', path, 'Make one: npm run -s verify -- --new-key FILE --name NAME');
  if (!parsed.success) return refused;
  const kept = parsed.output;
  try {
    const { x, y } = kept.private;
    const pair = {
      privateKey: await crypto.subtle.importKey('jwk', kept.private, KEY, false, ['sign']),
      publicKey: await crypto.subtle.importKey('jwk', { kty: 'EC', crv: 'P-256', x, y }, KEY, true, ['verify']),
    };
    return good({
      signer: await signerOf(pair),
      last: kept.last,
      keep: (last) => replace(path, text({ ...kept, last })),
    });
  } catch {
    return refused;
  }
}

/** A list of known keys. */
export async function loadKeys(path: string): Promise<Outcome<readonly KnownKey[]>> {
  const bytes = await readBytes(path);
  return bytes.ok ? readKeys(bytes.value.toString('utf8'), path) : bytes;
}

function text(kept: KeyFile): string {
  return `${JSON.stringify(kept, null, 1)}\n`;
}

/** Written beside and renamed, so that the key is never half there. */
async function replace(path: string, content: string): Promise<void> {
  const beside = `${path}.writing-${process.pid}`;
  const handle = await open(beside, 'wx', 0o600);
  try {
    await handle.writeFile(content);
    await handle.sync();
    await handle.close();
    // Gone in the meantime, the key is not put back.
    await readFile(path);
    await rename(beside, path);
  } catch (error) {
    await handle.close().catch(() => undefined);
    await rm(beside, { force: true });
    throw error;
  }
}
