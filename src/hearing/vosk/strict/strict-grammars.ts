import { acceptorOf } from '../../../grammar/acceptor.ts';
import { wordsOfGraph, wordsOfTable } from '../../models/vocabulary.ts';
import type { Vocabulary } from '../../models/vocabulary.ts';
import { UNKNOWN } from '../phrases.ts';
import { grammarField, loadCarrier } from './carrier.ts';
import type { EngineModule, EngineObject } from './carrier.ts';
import { grammarStates } from './grammar-fst.ts';
import { vectorFst } from './openfst.ts';

/** Makes recognisers that keep to whole sentences, for one loaded model. */
export interface StrictGrammars {
  /** Undefined when the model knows too few words for any sentence of the ruleset. */
  recogniser(jsgf: string, sampleRate: number, running: boolean): EngineObject | undefined;
}

/**
 * The engine's own run-time grammar is a list of phrases, of which it keeps word pairs, not the order. It takes a graph of
 * sentences only with a whole model, at its loading. So such a graph is loaded in a model that holds nothing else, and the real model
 * is shown it for the moment in which a recogniser is made: the recogniser keeps what it was shown. Measured on the tiny model: 20 to
 * 60 ms for a ruleset's first recogniser (200 ms for the very first), 0.2 ms for each further one, and utterances heard in a third of
 * the time.
 *
 * `folder` is where the model's files are. Undefined where it cannot be done: a model with a fixed graph or without a word for other
 * speech, or a build of the engine in which the graph's place cannot be found. The phrase list does then.
 */
export function strictGrammars(module: EngineModule, model: EngineObject, folder: string): StrictGrammars | undefined {
  const { FS } = module;
  if (FS.analyzePath(`${folder}/graph/HCLG.fst`).exists) return undefined;
  const vocabulary = vocabularyIn(FS, `${folder}/graph`);
  const unknown = vocabulary.get(UNKNOWN);
  if (unknown === undefined) return undefined;
  const nothing = vectorFst([{ arcs: [] }]);
  const empty = ['a', 'b', 'c'].map((name) => loadCarrier(module, `/strict/${name}`, nothing));
  const field = grammarField(module, empty);
  if (field === undefined) return undefined;

  const carriers = new Map<string, EngineObject | undefined>();
  const carrierOf = (jsgf: string, running: boolean): EngineObject | undefined => {
    const key = `${running} ${jsgf}`;
    if (carriers.has(key)) return carriers.get(key);
    const sentences = acceptorOf({ jsgf }, (word) => vocabulary.has(word));
    const carrier =
      sentences &&
      loadCarrier(
        module,
        `/strict/${carriers.size}`,
        vectorFst(grammarStates(sentences, (word) => vocabulary.get(word), unknown, running)),
      );
    carriers.set(key, carrier);
    return carrier;
  };

  return {
    recogniser(jsgf, sampleRate, running) {
      const carrier = carrierOf(jsgf, running);
      if (carrier === undefined) return undefined;
      const place = model.$$.ptr / 4 + field;
      const own = module.HEAPU32[place] ?? 0;
      module.HEAPU32[place] = module.HEAPU32[carrier.$$.ptr / 4 + field] ?? own;
      try {
        return new module.Recognizer(model, sampleRate);
      } finally {
        module.HEAPU32[place] = own;
      }
    },
  };
}

/** As the engine looks for it: inside the grammar graph, else in the table. */
function vocabularyIn(FS: EngineModule['FS'], folder: string): Vocabulary {
  const graph = `${folder}/Gr.fst`;
  const words = FS.analyzePath(graph).exists ? wordsOfGraph(FS.readFile(graph)) : undefined;
  return words ?? wordsOfTable(new TextDecoder().decode(FS.readFile(`${folder}/words.txt`)));
}
