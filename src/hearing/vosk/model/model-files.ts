import { bad, good, type Outcome } from '../../../units/outcome.ts';
import { UNKNOWN } from '../phrases.ts';
import { vectorFst, type State } from '../strict/openfst.ts';
import type { Lexicon } from './lexicon.ts';
import { checkPhones, MODEL_PHONES, phoneTable } from './phone-table.ts';
import { searchGraph } from './search-graph.ts';

/** Name of the model's folder inside its archive. */
export const OWN_MODEL = 'two-needles-en';

/** As the model was trained; the engine's word times assume an output each 30 ms. */
const FEATURES = [
  '--sample-frequency=16000',
  '--use-energy=false',
  '--num-mel-bins=40',
  '--num-ceps=40',
  '--low-freq=20',
  '--high-freq=-400',
  '--dither=0',
];
const DECODING = [
  '--min-active=200',
  '--max-active=3000',
  '--beam=13.0',
  '--lattice-beam=5.0',
  '--acoustic-scale=1.0',
  '--frame-subsampling-factor=3',
  '--frames-per-chunk=21',
  '--endpoint.silence-phones=1',
  // Only where our own rule has not ended it before: see `streaming-listener.ts`.
  '--endpoint.rule2.min-trailing-silence=2.5',
  '--endpoint.rule3.min-trailing-silence=2.5',
  '--endpoint.rule4.min-trailing-silence=2.5',
];

const BOUNDARIES: Readonly<Record<string, string>> = { B: 'begin', I: 'internal', E: 'end', S: 'singleton' };

/**
 * The files of a Vosk model from our acoustic model (`final.mdl`) and a word list with pronunciations: a new word needs a new graph
 * and no training. Word 1 is other speech. A phone table of another model is a problem, and so is a phone that the model lacks.
 */
export function modelFiles(acoustic: Uint8Array, lexicon: Lexicon): Outcome<Record<string, string | Uint8Array>> {
  const fits = checkPhones(acoustic);
  if (!fits.ok) return fits;
  const table = phoneTable();
  const odd = [...lexicon].find(([, ways]) => ways.flat().some((phone) => !table.phones.includes(phone)));
  if (odd !== undefined) {
    return bad(
      `The pronunciation of “${odd[0]}” has a phone that the acoustic model lacks: ${odd[1].map((way) => way.join(' ')).join(', ')}.`,
      'grammars/pronunciations.json',
      'Use the phones of the CMU dictionary, without stress.',
    );
  }
  const symbols = ['<eps>', UNKNOWN, ...lexicon.keys(), '#0', '<s>', '</s>'];
  const numbers = new Map(symbols.map((symbol, number) => [symbol, number]));
  const numberOf = (word: string): number => numbers.get(word) ?? 0;
  return good({
    'am/final.mdl': acoustic,
    'conf/mfcc.conf': lines(FEATURES),
    'conf/model.conf': lines(DECODING),
    'graph/HCLr.fst': vectorFst(searchGraph(lexicon, numberOf, table)),
    'graph/Gr.fst': vectorFst(anyWord([UNKNOWN, ...lexicon.keys()].map(numberOf))),
    'graph/words.txt': wordsTable(symbols),
    'graph/disambig_tid.int': `${2 * MODEL_PHONES.length + 1}\n`,
    'graph/phones/word_boundary.int': lines(MODEL_PHONES.map(({ name, id }) => `${id} ${boundaryOf(name)}`)),
  });
}

/** Any word after any word, all and the end alike likely: used when no grammar is given. */
function anyWord(numbers: readonly number[]): State[] {
  const cost = Math.log(numbers.length);
  return [{ final: 0, arcs: numbers.map((number) => ({ input: number, output: number, cost, to: 0 })) }];
}

/** `words.txt`: one symbol and its number a line, the first 0. */
export function wordsTable(symbols: readonly string[]): string {
  return lines(symbols.map((symbol, number) => `${symbol} ${number}`));
}

/** Where in its word a phone stands, which is what word times are cut by. */
function boundaryOf(phone: string): string {
  return BOUNDARIES[phone.slice(phone.indexOf('_') + 1)] ?? 'nonword';
}

function lines(list: readonly string[]): string {
  return list.map((line) => `${line}\n`).join('');
}
