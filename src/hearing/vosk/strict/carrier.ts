import { vectorFst } from './openfst.ts';

/** An instance of one of the engine's classes, as Emscripten hands it out: `ptr` is its address in the engine's memory. */
export interface EngineObject {
  readonly $$: { readonly ptr: number };
  /** Frees it. */
  delete(): void;
}

/** The part of the engine's module that strict grammars need. Views of the memory are replaced when it grows: read them afresh. */
export interface EngineModule {
  readonly FS: {
    mkdirTree(path: string): void;
    writeFile(path: string, data: string | Uint8Array): void;
    readFile(path: string): Uint8Array;
    analyzePath(path: string): { readonly exists: boolean };
  };
  readonly Model: new (path: string) => EngineObject;
  readonly Recognizer: new (model: EngineObject, sampleRate: number) => EngineObject;
  readonly HEAPU32: Uint32Array;
}

/** One phone, one unit, one input: the least network that the engine's reader takes. Text form, which it detects by itself. */
const NETWORK = `<TransitionModel> <Topology> <TopologyEntry> <ForPhones> 1 </ForPhones>
<State> 0 <PdfClass> 0 <Transition> 0 0.5 <Transition> 1 0.5 </State> <State> 1 </State>
</TopologyEntry> </Topology> <Triples> 1
1 0 0
</Triples> <LogProbs> [ 0 -0.7 -0.7 ] </LogProbs> </TransitionModel>
<Nnet3>${' '}
input-node name=input dim=1
component-node name=affine component=affine input=input
output-node name=output input=affine objective=linear

<NumComponents> 1
<ComponentName> affine <FixedAffineComponent> <LinearParams> [
 1 ]
<BiasParams> [ 0 ]
</FixedAffineComponent>
</Nnet3> <LeftContext> 0 <RightContext> 0 <Priors> [ ]
`;

/**
 * A model that holds a grammar graph and next to nothing else. The engine reads graphs only as part of a model, and never frees one:
 * a carrier takes 10 ms and 13 kB beyond its graph; even the tiny model, loaded anew, took 100 ms and 130 kB, twice its archive.
 */
export function loadCarrier(module: EngineModule, folder: string, grammar: Uint8Array): EngineObject {
  const { FS, Model } = module;
  for (const part of ['am', 'conf', 'graph']) FS.mkdirTree(`${folder}/${part}`);
  FS.writeFile(`${folder}/am/final.mdl`, NETWORK);
  FS.writeFile(`${folder}/conf/model.conf`, '');
  FS.writeFile(`${folder}/conf/mfcc.conf`, '');
  FS.writeFile(`${folder}/graph/HCLr.fst`, vectorFst([{ final: 0, arcs: [] }]));
  FS.writeFile(`${folder}/graph/Gr.fst`, grammar);
  FS.writeFile(`${folder}/graph/disambig_tid.int`, '3\n');
  FS.writeFile(`${folder}/graph/words.txt`, '<eps> 0\n');
  return new Model(folder);
}

/** More 32-bit fields than the engine's model has; reading past it reads other memory, which looks like nothing we look for. */
const FIELDS = 400;

/**
 * Which 32-bit field of the engine's model points to its grammar graph. Found by looking, since the engine does not tell: its two
 * graphs, one field after the other, are the only neighbours that point to objects of one and the same class in every carrier.
 * Undefined when that is not so, as another build of the engine may have it.
 */
export function grammarField({ HEAPU32 }: EngineModule, carriers: readonly EngineObject[]): number | undefined {
  const at = (address: number): number => HEAPU32[address / 4] ?? 0;
  const isPair = (field: number): boolean => {
    const objects = carriers.flatMap(({ $$ }) => [at($$.ptr + 4 * field), at($$.ptr + 4 * field + 4)]);
    // An object begins with the address of its class, which is fixed data and lies below all objects.
    const [object = 0] = objects;
    const fixed = at(object);
    return (
      new Set(objects).size === objects.length &&
      objects.every((each) => each % 4 === 0 && at(each) === fixed && fixed !== 0 && fixed < each)
    );
  };
  const found = Array.from({ length: FIELDS }, (_, field) => field).filter(isPair);
  const [graph] = found;
  return graph === undefined || found.length > 1 ? undefined : graph + 1;
}
