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
import { adoptArchives, servedIndex } from './served-folder.ts';

const SERVED = fileURLToPath(new URL('../../public/models', import.meta.url));

/** The vosk engine, not yet loaded, on a checked archive: the one that was named, or the first in `public/models/`. */
export async function voskRecogniser(model: string | undefined): Promise<Outcome<Recogniser>> {
  const grammar = await loadGrammar();
  if (!grammar.ok) return grammar;
  const needed = neededWords(grammar.value);
  if (model === undefined) await adoptArchives(SERVED, needed);
  const [first] = (await servedIndex(SERVED)).models;
  const path = model ?? (first === undefined ? undefined : join(SERVED, first.file));
  if (path === undefined) {
    const repair = 'Add one with `npm run model -- URL|FILE`, or name one with --model.';
    return bad('There is no Vosk model yet.', 'public/models', repair);
  }
  const archive = await readArchive(path);
  if (!archive.ok) return archive;
  const report = await inspectModel(archive.value, path, needed);
  if (!report.ok) return report;
  return good(createVoskRecogniser({ archive: () => Promise.resolve(archive.value), openWorker: openVoskWorker }));
}
