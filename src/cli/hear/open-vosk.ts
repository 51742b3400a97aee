import { inspectModel, neededWords } from '../../hearing/models/inspect.ts';
import type { Recogniser } from '../../hearing/port.ts';
import { createVoskRecogniser } from '../../hearing/vosk/vosk-recogniser.ts';
import { OWN_LATE_EDGES } from '../../hearing/vosk/model/late-edges.ts';
import { openVoskWorker } from '../../hearing/vosk/host/open-in-node.ts';
import type { LateEdges } from '../../hearing/vosk/heard-words.ts';
import { good } from '../../units/outcome.ts';
import type { Outcome } from '../../units/outcome.ts';
import { buildOwnModel } from '../model/own-model.ts';
import { readArchive } from '../model/read-archive.ts';
import { loadGrammar } from '../shared/read-inputs.ts';

/** The vosk engine, not yet loaded: on the archive that was named, checked; otherwise on our own model (with further `words`). */
export async function voskRecogniser(
  model: string | undefined,
  words: readonly string[] = [],
): Promise<Outcome<Recogniser>> {
  const grammar = await loadGrammar();
  if (!grammar.ok) return grammar;
  if (model === undefined) {
    const own = await buildOwnModel(grammar.value, { words });
    return own.ok ? good(engineOn(new Blob([own.value]), OWN_LATE_EDGES)) : own;
  }
  const archive = await readArchive(model);
  if (!archive.ok) return archive;
  const report = await inspectModel(archive.value, model, neededWords(grammar.value));
  return report.ok ? good(engineOn(archive.value)) : report;
}

function engineOn(archive: Blob, lateEdges?: LateEdges): Recogniser {
  return createVoskRecogniser({
    archive: () => Promise.resolve(archive),
    openWorker: openVoskWorker,
    ...(lateEdges === undefined ? {} : { lateEdges }),
  });
}
