import { readFileSync } from 'node:fs';
import { packModel } from './archive.ts';
import { anyWord, wordBoundaries, wordLoop, wordsTable } from './graph.ts';
import type { WordChain } from './graph.ts';
import { oneHiddenLayerNet, transitionModel } from './nnet3.ts';
import type { QuantisedLayer } from './nnet3.ts';
import { vectorFst } from '../../../src/hearing/vosk/strict/openfst.ts';

/** The trained part: 20 cepstra at 9 offsets into 96 units into one output per phone. */
interface Weights {
  /** Words and the number of phones in each. */
  readonly words: readonly (readonly [string, number])[];
  readonly unk: string;
  readonly ceps: number;
  /** Lines of `conf/mfcc.conf`. */
  readonly mfcc: readonly string[];
  readonly offsets: readonly number[];
  readonly layers: readonly [QuantisedLayer, QuantisedLayer];
}

const MODEL_CONF = [
  '--min-active=20',
  '--max-active=2000',
  '--beam=12.0',
  '--lattice-beam=4.0',
  '--acoustic-scale=0.6',
  // The engine's word times assume an output frame of 30 ms.
  '--frame-subsampling-factor=3',
  '--endpoint.silence-phones=1',
  '--endpoint.rule2.min-trailing-silence=0.5',
  '--endpoint.rule3.min-trailing-silence=0.75',
  '--endpoint.rule4.min-trailing-silence=1.0',
];

/** Phone of the filler word; silence is 1, the phones of the words follow. */
const FILLER_PHONE = 2;

function readWeights(): Weights {
  return JSON.parse(readFileSync(new URL('./weights.json', import.meta.url), 'utf8')) as Weights;
}

function chainsOf(weights: Weights): WordChain[] {
  let next = FILLER_PHONE + 1;
  const words = weights.words.map(([word, length]) => ({ word, phones: Array.from({ length }, () => next++) }));
  return [...words, { word: weights.unk, phones: [FILLER_PHONE] }];
}

/** The words the tiny model knows, without the filler. */
export function tinyModelWords(): string[] {
  return readWeights().words.map(([word]) => word);
}

/**
 * The files of a real, very small Vosk model: gauge callouts spoken by clean synthetic voices and nothing else. It tests the
 * plumbing of the engine end to end; its accuracy says nothing about hearing, and users never get it.
 * `symbols: 'graph'` keeps the word list inside `Gr.fst`, as the publisher's small models do, instead of in `words.txt`.
 */
export function tinyModelFiles(symbols: 'table' | 'graph' = 'table'): Record<string, string | Uint8Array> {
  const weights = readWeights();
  const chains = chainsOf(weights);
  const words = chains.map(({ word }) => word);
  const phones = weights.layers[1].rows;
  return {
    'am/final.mdl': transitionModel(phones) + oneHiddenLayerNet(weights.ceps, weights.offsets, ...weights.layers),
    'conf/mfcc.conf': `${weights.mfcc.join('\n')}\n`,
    'conf/model.conf': `${MODEL_CONF.join('\n')}\n`,
    'graph/phones/word_boundary.int': wordBoundaries(chains),
    'graph/HCLr.fst': vectorFst(wordLoop(chains)),
    'graph/Gr.fst': vectorFst(anyWord(words.length), symbols === 'graph' ? ['<eps>', ...words] : undefined),
    'graph/disambig_tid.int': `${2 * phones + 1}\n`,
    ...(symbols === 'table' ? { 'graph/words.txt': wordsTable(words) } : {}),
  };
}

/** The tiny model as an archive (about 70 kB). */
export function buildTinyModel(): Promise<Uint8Array> {
  return packModel(tinyModelFiles());
}
