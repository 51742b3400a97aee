import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { sha256 } from '../../units/sha256.ts';
import { FILLER_WORDS } from '../../hearing/embedded/filler.ts';
import { MANIFEST_NAME, type ModelManifest } from '../../hearing/embedded/manifest.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { cmuDictionary, publishedFile } from './published-model.ts';

/** What the dictionary of the embedded engine must hold. */
export interface Vocabulary {
  /** Every word of every grammar, lower case. */
  readonly words: readonly string[];
  /** Pronunciations in the phones of the CMU dictionary ("B AH Z ER") that replace the dictionary's own for these words. */
  readonly pronunciations: Readonly<Record<string, readonly string[]>>;
}

/** Copied as they are. */
const ACOUSTIC_FILES = [
  'mdef',
  'means',
  'variances',
  'sendump',
  'transition_matrices',
  'noisedict.txt',
  'LICENCE.txt',
] as const;

/**
 * The model's own `feat.params`, as the JSON that the engine reads; it overrides what the constructor is given.
 * Noise removal on: on this 16 kHz model it helps at every noise level that was tried.
 */
const FEATURES = {
  lowerf: 130,
  upperf: 6800,
  nfilt: 25,
  transform: 'dct',
  lifter: 22,
  feat: '1s_c_d_dd',
  svspec: '0-12/13-25/26-38',
  cmn: 'current',
  varnorm: false,
  remove_noise: true,
};

/**
 * Writes the embedded engine's model folder: acoustic model, front-end settings, a dictionary of only the words that
 * the grammars use (the whole one would add 3 MB to the first visit), licence and manifest.
 * A grammar word without a pronunciation is a problem: the engine would refuse the whole grammar.
 */
export async function writeModel(outDir: string, vocabulary: Vocabulary): Promise<Outcome<ModelManifest>> {
  const whole = await cmuDictionary();
  if (!whole.ok) return whole;
  const dictionary = reduceDictionary(whole.value, vocabulary);
  if (!dictionary.ok) return dictionary;

  const contents = new Map<string, Uint8Array<ArrayBuffer>>();
  for (const name of ACOUSTIC_FILES) {
    const bytes = await publishedFile(name);
    if (!bytes.ok) return bytes;
    contents.set(name, bytes.value);
  }
  contents.set('feat_params.json', Buffer.from(`${JSON.stringify(FEATURES, null, 1)}\n`));
  contents.set('dict.txt', Buffer.from(dictionary.value));

  await mkdir(outDir, { recursive: true });
  for (const [name, bytes] of contents) await writeFile(join(outDir, name), bytes);
  // For people: no part of what the engine reads.
  contents.delete('LICENCE.txt');
  const manifest: ModelManifest = {
    name: 'CMU en-us, 16 kHz, phonetically tied mixtures',
    licence: 'BSD-2-Clause, see LICENCE.txt',
    files: await Promise.all(
      [...contents].map(async ([name, bytes]) => ({ name, bytes: bytes.length, sha256: await sha256(bytes) })),
    ),
  };
  // Last, so that an interrupted run leaves a folder that is seen to be incomplete.
  await writeFile(join(outDir, MANIFEST_NAME), `${JSON.stringify(manifest, null, 1)}\n`);
  return good(manifest);
}

/** The lines of a CMU dictionary for these words and their variants, `word(2)` and so on, and the filler's phones. */
export function reduceDictionary(dictionary: string, vocabulary: Vocabulary): Outcome<string> {
  const wanted = new Set(vocabulary.words);
  const found = new Map<string, string[]>();
  for (const line of dictionary.split('\n')) {
    const gap = line.search(/\s/);
    if (gap < 1) continue;
    const word = line.slice(0, gap).replace(/\(\d+\)$/, '');
    if (wanted.has(word)) found.set(word, [...(found.get(word) ?? []), line.slice(gap).trim()]);
  }
  for (const [word, phones] of Object.entries(vocabulary.pronunciations)) {
    if (wanted.has(word)) found.set(word, [...phones]);
  }
  const unknown = [...wanted].filter((word) => !found.has(word)).sort();
  if (unknown.length > 0) {
    return bad(
      `The dictionary has no pronunciation for: ${unknown.join(', ')}.`,
      'embedded dictionary',
      'Add each to the pronunciations of the grammar, in the phones of the CMU dictionary.',
    );
  }
  const lines = [...found].sort(([a], [b]) => (a < b ? -1 : 1));
  const variants = lines.flatMap(([word, all]) =>
    all.map((phones, i) => `${word}${i === 0 ? '' : `(${i + 1})`} ${phones}`),
  );
  return good([...variants, ...FILLER_WORDS.map((pair) => pair.join(' '))].join('\n') + '\n');
}
