import { stat } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { PRONUNCIATIONS } from '../../grammar/pronunciations.ts';
import { createEmbeddedEngine } from '../../hearing/embedded/recogniser.ts';
import { folderModelStore } from '../../hearing/embedded/store-node.ts';
import type { EngineId } from '../../units/engine.ts';
import type { Recogniser } from '../../hearing/port.ts';
import { bad, good, type Outcome, type Problem } from '../../units/outcome.ts';
import { writeModel } from '../assets/assets-model.ts';
import type { HearArguments } from './hear-arguments.ts';
import { voskRecogniser } from './open-vosk.ts';
import { grammarWords, loadGrammar } from '../shared/read-inputs.ts';

const EMBEDDED_MODEL = fileURLToPath(new URL('../../../public/models/embedded', import.meta.url));

/**
 * The engine that was asked for, with its model loaded: a model folder is for the embedded engine, an archive for Vosk, and without
 * either it is Vosk with our own model. Should that fail and no engine was named, `warn` is told and the embedded one takes over.
 */
export async function openRecogniser(
  { engine, model }: Pick<HearArguments, 'engine' | 'model'>,
  warn: (problem: Problem) => void,
): Promise<Outcome<Recogniser>> {
  if (engine !== undefined || model !== undefined) return loaded(engine ?? (await engineFor(model)), model);
  const ours = await loaded('vosk', undefined);
  if (ours.ok) return ours;
  warn(ours.problem);
  return loaded('embedded', undefined);
}

async function engineFor(model: string | undefined): Promise<EngineId> {
  const facts = model === undefined ? undefined : await stat(model).catch(() => undefined);
  return facts?.isDirectory() === true ? 'embedded' : 'vosk';
}

async function loaded(engine: EngineId, model: string | undefined): Promise<Outcome<Recogniser>> {
  const opened = engine === 'vosk' ? await voskRecogniser(model) : await embeddedRecogniser(model);
  if (!opened.ok) return opened;
  try {
    await opened.value.load(() => undefined);
    return opened;
  } catch (error) {
    return bad(error instanceof Error ? error.message : String(error));
  }
}

/** On the model that was named; otherwise on the app's own, which is made first when it is not there or of other words. */
async function embeddedRecogniser(model: string | undefined): Promise<Outcome<Recogniser>> {
  if (model !== undefined) return good(createEmbeddedEngine(folderModelStore(model)));
  const grammar = await loadGrammar();
  if (!grammar.ok) return grammar;
  const vocabulary = { words: grammarWords(grammar.value), pronunciations: PRONUNCIATIONS };
  const written = await writeModel(EMBEDDED_MODEL, vocabulary);
  return written.ok ? good(createEmbeddedEngine(folderModelStore(EMBEDDED_MODEL))) : written;
}
