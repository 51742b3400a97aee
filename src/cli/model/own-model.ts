import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sha256 } from '../../units/sha256.ts';
import { PRONUNCIATIONS } from '../../grammar/pronunciations.ts';
import type { Grammar } from '../../grammar/syntax.ts';
import { lexiconOf } from '../../hearing/vosk/model/lexicon.ts';
import { modelFiles, OWN_MODEL } from '../../hearing/vosk/model/model-files.ts';
import { SERVED_MODEL, type ServedModelFacts } from '../../hearing/vosk/model/served-model.ts';
import { good, type Outcome } from '../../units/outcome.ts';
import { cmuDictionary } from '../assets/published-model.ts';
import { packModel } from './pack-model.ts';
import { grammarWords } from '../shared/read-inputs.ts';

const DATA = fileURLToPath(new URL('../../hearing/vosk/model/', import.meta.url));

/** Our own model as an archive, its graph built from the words of the grammar (and more, for measuring). */
export async function buildOwnModel(
  grammar: Grammar,
  { words = [], pronunciations = PRONUNCIATIONS }: OwnModelOptions = {},
): Promise<Outcome<Uint8Array<ArrayBuffer>>> {
  const spoken = [...grammarWords(grammar), ...words].flatMap((word) => word.split('_'));
  const dictionary = await cmuDictionary();
  if (!dictionary.ok) return dictionary;
  const lexicon = lexiconOf(spoken, dictionary.value, pronunciations);
  if (!lexicon.ok) return lexicon;
  const files = modelFiles(await readFile(join(DATA, 'final.mdl')), lexicon.value);
  if (!files.ok) return files;
  const about = {
    LICENSE: await readFile(join(DATA, 'LICENSE')),
    'README.md': await readFile(join(DATA, 'README.md')),
  };
  return good(await packModel({ ...files.value, ...about }, OWN_MODEL));
}

interface OwnModelOptions {
  /** Further words, lower case. */
  readonly words?: readonly string[];
  readonly pronunciations?: Readonly<Record<string, readonly string[]>>;
}

/** Writes the archive and what the page checks it by into `folder`; quick when nothing has changed. */
export async function writeOwnModel(
  folder: string,
  grammar: Grammar,
): Promise<Outcome<{ changed: boolean; note: string }>> {
  const archive = await buildOwnModel(grammar);
  if (!archive.ok) return archive;
  const facts: ServedModelFacts = {
    name: OWN_MODEL,
    bytes: archive.value.length,
    sha256: await sha256(archive.value),
  };
  const text = `${JSON.stringify(facts, null, 1)}\n`;
  const { archive: file, facts: list } = SERVED_MODEL;
  const note = `${OWN_MODEL}, ${(facts.bytes / 1e6).toFixed(1)} MB`;
  if ((await readFile(join(folder, list), 'utf8').catch(() => '')) === text) return good({ changed: false, note });
  await mkdir(folder, { recursive: true });
  await writeFile(join(folder, file), archive.value);
  // Last, so that an interrupted run is seen to be incomplete.
  await writeFile(join(folder, list), text);
  return good({ changed: true, note });
}
