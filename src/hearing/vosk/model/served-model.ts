import * as v from 'valibot';
import { bad, good, type Outcome } from '../../../units/outcome.ts';
import { sha256 } from '../../../units/sha256.ts';

/** Our own model in its folder of the server. Not `.tar.gz`: many servers take that for a transport encoding and unpack it. */
export const SERVED_MODEL = { archive: 'model.tgz', facts: 'model.json' } as const;

const Facts = v.object({ name: v.string(), bytes: v.number(), sha256: v.string() });

/** What the archive has to be; written at build time. */
export type ServedModelFacts = Readonly<v.InferOutput<typeof Facts>>;

const REPAIR = 'Run `npm run assets` to make the model again, then reload.';

/** Our own model from `folder` (absolute, with a slash at its end), whole and unchanged, or one plain line on why not. */
export async function fetchServedModel(folder: string, fetch: typeof globalThis.fetch): Promise<Outcome<Blob>> {
  const [facts, archive] = await Promise.all([
    fetched(folder + SERVED_MODEL.facts, fetch),
    fetched(folder + SERVED_MODEL.archive, fetch),
  ]);
  if (!facts.ok) return facts;
  if (!archive.ok) return archive;
  const wanted = v.safeParse(v.pipe(v.string(), v.parseJson(), Facts), await facts.value.text());
  if (!wanted.success) return bad('The list of the speech model is damaged.', folder + SERVED_MODEL.facts, REPAIR);
  return checked(archive.value, wanted.output, folder + SERVED_MODEL.archive);
}

async function checked(archive: Blob, wanted: ServedModelFacts, where: string): Promise<Outcome<Blob>> {
  if (archive.size < wanted.bytes)
    return bad(`The speech model is cut short: ${archive.size} of ${wanted.bytes} bytes.`, where, REPAIR);
  const digest = await sha256(new Uint8Array(await archive.arrayBuffer()));
  if (digest !== wanted.sha256) return bad('The speech model is damaged or of another version.', where, REPAIR);
  return good(archive);
}

async function fetched(address: string, fetch: typeof globalThis.fetch): Promise<Outcome<Blob>> {
  const response = await fetch(address).catch(() => undefined);
  if (response === undefined)
    return bad('The speech model could not be fetched.', address, 'Is the device online for the first visit?');
  // A server with a fallback page answers a missing file with HTML and status 200.
  const isPage = response.headers.get('content-type')?.startsWith('text/html') === true;
  if (!response.ok || isPage) return bad('The speech model is not in this build.', address, REPAIR);
  return good(await response.blob());
}
