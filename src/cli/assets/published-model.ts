import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import checksums from '../../hearing/embedded/model/checksums.json' with { type: 'json' };
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { sha256 } from '../../units/sha256.ts';

const FOLDER = fileURLToPath(new URL('../../hearing/embedded/model/', import.meta.url));

/** A file of the CMU en-us model as it was published; refused when it is another, as some tools change the ends of lines. */
export async function publishedFile(
  name: keyof typeof checksums,
  folder = FOLDER,
): Promise<Outcome<Uint8Array<ArrayBuffer>>> {
  const path = join(folder, name);
  const bytes = await readFile(path).catch(() => undefined);
  if (bytes === undefined) return bad('A file of the acoustic model is missing.', path, REPAIR);
  if ((await sha256(bytes)) !== checksums[name])
    return bad('A file of the acoustic model is not as it was published.', path, REPAIR);
  return good(bytes);
}

const REPAIR = 'Check out the repository again, as it is.';

/** The whole CMU dictionary that comes with the model: a word and its phones a line. */
export async function cmuDictionary(): Promise<Outcome<string>> {
  const bytes = await publishedFile('cmudict-en-us.dict');
  return bytes.ok ? good(new TextDecoder().decode(bytes.value)) : bytes;
}
