import createModule from 'soundswallower';
import { fillerGrammar } from './filler.ts';
import type { ModelAddresses } from './model-store.ts';

/** One item of the engine's result: `b` begin and `d` duration in seconds, `p` its posterior. */
export interface Segment {
  readonly t: string;
  readonly b: number;
  readonly d: number;
  readonly p: number;
}

/** What one decode gives: its segments, and the path's log score in the engine's own units (comparable between decodes of the same sound). */
export interface Decoded {
  readonly segments: readonly Segment[];
  readonly score: number;
}

/** Silence, noise units and the grammar's empty transitions are no words. */
export function isWord(segment: Segment): boolean {
  return !/^[<([]/.test(segment.t);
}

interface Decoder {
  /** Throws when the engine cannot compile it, or a word is not in the dictionary. */
  setGrammar(jsgf: string): void;
  /** The best path through the grammar, over the whole sound at once. */
  decode(samples: Float32Array): Decoded;
  close(): void;
}

export interface Decoders {
  /** For the callouts. */
  readonly callouts: Decoder;
  /** For the loop over all phones that callouts must beat. */
  readonly filler: Decoder;
}

/** Two decoders over one copy of the engine's code. */
export async function createDecoders(model: ModelAddresses): Promise<Decoders> {
  // `defaultModel: null` stops the engine from looking for its packaged 8 kHz model.
  const engine: Engine = (await createModule({
    defaultModel: null,
    print: () => {},
    printErr: () => {},
  } as object)) as Engine;
  const callouts = await createDecoder(engine, model);
  const filler = await createDecoder(engine, model);
  filler.setGrammar(fillerGrammar());
  return { callouts, filler };
}

type Engine = Awaited<ReturnType<typeof createModule>> & {
  _decoder_hyp(decoder: number, score: number): number;
};

async function createDecoder(engine: Engine, model: ModelAddresses): Promise<Decoder> {
  const decoder = new engine.Decoder({
    mdef: model.mdef,
    mean: model.means,
    var: model.variances,
    sendump: model.sendump,
    tmat: model.transition_matrices,
    featparams: model['feat_params.json'],
    dict: model['dict.txt'],
    fdict: model['noisedict.txt'],
    // There is none. Left out, the engine fetches the address "null", and a server with a fallback page answers that.
    lda: 'blob:none',
    samprate: 16_000,
    // Wider than the engine's own (1e-48, 1e-48, 7e-29): with those the right path sometimes dies on the way to the end of a
    // whole reading, and then nothing is heard at all.
    beam: 1e-64,
    pbeam: 1e-64,
    wbeam: 1e-48,
    loglevel: 'FATAL',
  });
  await decoder.initialize();
  return {
    setGrammar: (jsgf) => decoder.set_grammar(jsgf),
    decode(samples) {
      decoder.start();
      try {
        decoder.process_audio(samples, false, true);
      } finally {
        decoder.stop();
      }
      const score = pathScore(engine, decoder);
      return score === undefined
        ? { segments: [], score: -Infinity }
        : { segments: decoder.get_alignment().w ?? [], score };
    },
    close: () => decoder.delete(),
  };
}

/** Undefined when no path through the grammar survived. */
function pathScore(engine: Engine, decoder: object): number | undefined {
  const at = engine._malloc(4);
  try {
    const text = engine._decoder_hyp((decoder as { cdecoder: number }).cdecoder, at);
    return text === 0 ? undefined : new DataView(engine.HEAP8.buffer).getInt32(at, true);
  } finally {
    engine._free(at);
  }
}
