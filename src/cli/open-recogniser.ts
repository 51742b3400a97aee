import { fileURLToPath } from 'node:url';
import { PRONUNCIATIONS } from '../grammar/pronunciations.ts';
import { createEmbeddedEngine } from '../hearing/embedded/recogniser.ts';
import { folderModelStore } from '../hearing/embedded/store-node.ts';
import type { Recogniser } from '../hearing/port.ts';
import { bad, good, type Outcome } from '../units/outcome.ts';
import { writeModel } from './assets-model.ts';
import type { HearArguments } from './hear-arguments.ts';
import { voskRecogniser } from './open-vosk.ts';
import { grammarWords, loadGrammar } from './read-inputs.ts';

const EMBEDDED_MODEL = fileURLToPath(new URL('../../public/models/embedded', import.meta.url));

/** The engine that was asked for, with its model loaded. */
export async function openRecogniser({ engine, model }: HearArguments): Promise<Outcome<Recogniser>> {
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
