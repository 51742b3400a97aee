import { compile } from '../../grammar/compile.ts';
import type { Grammar } from '../../grammar/syntax.ts';
import { bad, good } from '../../units/outcome.ts';
import type { Outcome } from '../../units/outcome.ts';
import { unpack } from './unpack.ts';
import type { ArchiveFormat, Unpacked } from './unpack.ts';
import { wordsOfGraph, wordsOfTable } from './vocabulary.ts';
import type { Vocabulary } from './vocabulary.ts';

/** What a checked archive holds. */
export interface ModelReport {
  /** Name of its wrapping folder, which publishers use as the model's name. */
  readonly name: string;
  readonly format: ArchiveFormat;
  readonly unpackedBytes: number;
  /** Number of words the model knows. */
  readonly vocabulary: number;
  /** Words of the callouts that it does not know, sorted: they cannot be heard with it. */
  readonly missingWords: readonly string[];
  /** False: the model has a fixed graph and hears any words in every step, which is less accurate. */
  readonly takesPhrases: boolean;
  /** False: it has no word for other speech, which is then forced into callouts. */
  readonly rejectsOtherSpeech: boolean;
}

/** The words of our language that a model is checked for. */
export interface NeededWords {
  /** The spoken digits: a model that lacks half of them is of another language. */
  readonly digits: readonly string[];
  readonly all: readonly string[];
}

/** The needed words of a grammar. */
export function neededWords(grammar: Grammar): NeededWords {
  return {
    digits: compile(grammar, ['digit'], 'psi').words,
    all: compile(grammar, ['anything'], 'psi').words.flatMap((word) => word.split('_')),
  };
}

const WORDS = 'graph/words.txt';
const FIXED_GRAPH = 'graph/HCLG.fst';
const GRAMMAR_GRAPH = 'graph/Gr.fst';
const ALWAYS_NEEDED = ['am/final.mdl', 'conf/model.conf'];
const FEATURES = ['conf/mfcc.conf', 'conf/fbank.conf'];
const PHRASE_GRAPHS = ['graph/HCLr.fst', GRAMMAR_GRAPH, 'graph/disambig_tid.int'];

/** Entries of a word list that nobody says: `<eps>`, `#0`, `[unk]`. */
const SYMBOL = /^(<.*>|#\d+|\[.*\])$/;

/** Checks an archive before it is used: packing, wrapping folder, engine, needed files, language. `where` is its name. */
export async function inspectModel(archive: Blob, where: string, needed: NeededWords): Promise<Outcome<ModelReport>> {
  const vocabularyFiles = [WORDS, FIXED_GRAPH, GRAMMAR_GRAPH];
  const unpacked = await unpack(archive, where, (path) => vocabularyFiles.includes(withoutFolder(path)));
  if (!unpacked.ok) return unpacked;
  return inspectFiles(unpacked.value, where, needed);
}

function inspectFiles(unpacked: Unpacked, where: string, needed: NeededWords): Outcome<ModelReport> {
  const paths = [...unpacked.files.keys()];
  const otherKind = kindOf(paths);
  if (otherKind !== undefined)
    return bad(`This is ${otherKind}, which this engine cannot use.`, where, 'Choose a Vosk model.');

  const folders = new Set(paths.map((path) => path.slice(0, Math.max(0, path.indexOf('/')))));
  const [name = ''] = folders;
  if (folders.size !== 1 || name === '' || name === '.' || name === '..') {
    return bad(
      'The archive must hold one folder with the model in it.',
      where,
      'Pack the folder itself: tar czf model.tar.gz FOLDER',
    );
  }

  const has = new Set(paths.map(withoutFolder));
  const missing = ALWAYS_NEEDED.filter((file) => !has.has(file));
  if (!FEATURES.some((file) => has.has(file))) missing.push(FEATURES.join(' or '));
  const takesPhrases = PHRASE_GRAPHS.every((file) => has.has(file));
  if (!takesPhrases && !has.has(FIXED_GRAPH)) missing.push(`${FIXED_GRAPH} or ${PHRASE_GRAPHS.join(' with ')}`);
  if (missing.length > 0) return bad(`The model lacks ${missing.join(', ')}.`, where, 'Choose a complete Vosk model.');

  const words = vocabularyOf(unpacked);
  if (words === undefined)
    return bad(`The model lacks a word list (${WORDS}).`, where, 'Choose a complete Vosk model.');
  const digits = needed.digits.filter((word) => words.has(word));
  if (digits.length * 2 < needed.digits.length) {
    return bad(
      `This model is of another language: it knows ${digits.length} of ${needed.digits.length} spoken digits.`,
      where,
      'Choose an English model.',
    );
  }
  return good({
    name,
    format: unpacked.format,
    unpackedBytes: [...unpacked.files.values()].reduce((sum, bytes) => sum + bytes, 0),
    vocabulary: [...words.keys()].filter((word) => !SYMBOL.test(word)).length,
    missingWords: [...new Set(needed.all)].filter((word) => !words.has(word)).sort(),
    takesPhrases,
    rejectsOtherSpeech: words.has('[unk]'),
  });
}

/** What else the archive is, when its files show that. */
function kindOf(paths: readonly string[]): string | undefined {
  const names = new Set(paths.map((path) => path.slice(path.lastIndexOf('/') + 1)));
  if (names.has('final.mdl')) return undefined;
  if (names.has('mdef')) return 'a Sphinx model';
  if (names.has('final.ext.raw')) return 'a Vosk speaker model';
  if (paths.some((path) => path.endsWith('.onnx'))) return 'an ONNX model';
  return undefined;
}

function vocabularyOf({ contents }: Unpacked): Vocabulary | undefined {
  const byName = new Map([...contents].map(([path, bytes]) => [withoutFolder(path), bytes]));
  for (const graph of [GRAMMAR_GRAPH, FIXED_GRAPH]) {
    const bytes = byName.get(graph);
    const words = bytes === undefined ? undefined : wordsOfGraph(bytes);
    if (words !== undefined) return words;
  }
  const table = byName.get(WORDS);
  return table === undefined ? undefined : wordsOfTable(new TextDecoder().decode(table));
}

/** A path without its first folder, which the engine drops when it unpacks. */
function withoutFolder(path: string): string {
  return path.slice(path.indexOf('/') + 1);
}
