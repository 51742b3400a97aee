import { fileURLToPath } from 'node:url';
import { createEmbeddedEngine } from '../hearing/embedded/recogniser.ts';
import { folderModelStore } from '../hearing/embedded/store-node.ts';
import type { Recogniser } from '../hearing/port.ts';
import { bad, good, type Outcome } from '../units/outcome.ts';
import type { HearArguments } from './hear-arguments.ts';
import { voskRecogniser } from './open-vosk.ts';

const EMBEDDED_MODEL = fileURLToPath(new URL('../../public/models/embedded', import.meta.url));

/** The engine that was asked for, with its model loaded. */
export async function openRecogniser({ engine, model }: HearArguments): Promise<Outcome<Recogniser>> {
  const opened =
    engine === 'vosk'
      ? await voskRecogniser(model)
      : good(createEmbeddedEngine(folderModelStore(model ?? EMBEDDED_MODEL)));
  if (!opened.ok) return opened;
  try {
    await opened.value.load(() => undefined);
    return opened;
  } catch (error) {
    const repair = engine === 'embedded' && model === undefined ? 'Run `npm run assets`, which makes it.' : undefined;
    return bad(error instanceof Error ? error.message : String(error), undefined, repair);
  }
}
