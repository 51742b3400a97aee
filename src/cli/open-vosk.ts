import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { inspectModel, neededWords } from '../hearing/models/inspect.ts';
import type { Recogniser } from '../hearing/port.ts';
import { createVoskRecogniser } from '../hearing/vosk/engine.ts';
import { openVoskWorker } from '../hearing/vosk/node.ts';
import { bad, good } from '../units/outcome.ts';
import type { Outcome } from '../units/outcome.ts';
import { readArchive } from './read-archive.ts';
import { loadGrammar } from './read-inputs.ts';
import { servedIndex } from './served-folder.ts';

const SERVED = fileURLToPath(new URL('../../public/models', import.meta.url));

/** The vosk engine, loaded, on an archive; without one, on the first model in `public/models/`. */
export async function openVosk(model: string | undefined): Promise<Outcome<Recogniser>> {
  const path = model ?? (await firstServed());
  if (path === undefined) {
    return bad(
      'There is no Vosk model yet.',
      'public/models',
      'Add one with `npm run model -- URL|FILE`, or name one with --model.',
    );
  }
  const archive = await readArchive(path);
  if (!archive.ok) return archive;
  const grammar = await loadGrammar();
  if (!grammar.ok) return grammar;
  const report = await inspectModel(archive.value, path, neededWords(grammar.value));
  if (!report.ok) return report;
  const recogniser = createVoskRecogniser({
    archive: () => Promise.resolve(archive.value),
    openWorker: openVoskWorker,
  });
  try {
    await recogniser.load(() => undefined);
    return good(recogniser);
  } catch (error) {
    return bad(error instanceof Error ? error.message : String(error), path);
  }
}

async function firstServed(): Promise<string | undefined> {
  const [first] = (await servedIndex(SERVED)).models;
  return first === undefined ? undefined : join(SERVED, first.file);
}
