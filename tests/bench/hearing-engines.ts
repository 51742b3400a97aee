import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { writeModel } from '../../src/cli/assets/assets-model.ts';
import { buildOwnModel } from '../../src/cli/model/own-model.ts';
import { voskRecogniser } from '../../src/cli/hear/open-vosk.ts';
import { PRONUNCIATIONS } from '../../src/grammar/pronunciations.ts';
import type { Ruleset } from '../../src/grammar/ruleset.ts';
import { createEmbeddedEngine } from '../../src/hearing/embedded/recogniser.ts';
import { folderModelStore } from '../../src/hearing/embedded/store-node.ts';
import { openVoskWorker } from '../../src/hearing/vosk/host/open-in-node.ts';
import type { EngineId } from '../../src/units/engine.ts';
import type { Recogniser } from '../../src/hearing/port.ts';
import { problemLine } from '../../src/units/outcome.ts';
import { loadGrammar } from '../support/grammar.ts';
import { ownEar } from '../support/tube/own-ear.ts';
import { buildTinyModel } from '../support/tiny-model/tiny-model.ts';

export interface OpenEngine {
  readonly engine: Recogniser;
  /** What the process grew by when the engine was loaded, in MB. */
  readonly megabytes: number;
  /** Milliseconds on the clock. */
  readonly loading: number;
}

interface Wanted {
  /** For what has to be written. */
  readonly folder: string;
  /** A Vosk model archive, or `tiny`; our own when absent. */
  readonly model: string | undefined;
  readonly rulesets: readonly Ruleset[];
  /** Further words of the bench, for our own model. */
  readonly words?: readonly string[];
  /** `numbers`: the embedded engine is asked for a second opinion. */
  readonly askedAbout?: 'numbers';
}

/** An engine with its model loaded, or the line that says why it is absent. */
export async function openEngine(id: EngineId, wanted: Wanted): Promise<OpenEngine | string> {
  const opened = id === 'embedded' ? await embedded(wanted) : await vosk(wanted);
  if (typeof opened === 'string') return opened;
  const before = process.memoryUsage.rss();
  const begin = performance.now();
  await opened.load(() => undefined);
  return {
    engine: opened,
    megabytes: (process.memoryUsage.rss() - before) / 1e6,
    loading: performance.now() - begin,
  };
}

async function embedded({ folder, rulesets, askedAbout }: Wanted): Promise<Recogniser> {
  const words = [...new Set(rulesets.flatMap((ruleset) => ruleset.words))];
  const model = await writeModel(folder, { words, pronunciations: PRONUNCIATIONS });
  if (!model.ok) throw new Error(problemLine(model.problem));
  return createEmbeddedEngine(folderModelStore(folder), askedAbout === undefined ? {} : { askedAbout });
}

async function vosk({ folder, model, words }: Wanted): Promise<Recogniser | string> {
  if (model === undefined) {
    const own = await buildOwnModel(loadGrammar(), words === undefined ? {} : { words });
    if (!own.ok) return problemLine(own.problem);
    // On a busy machine an ear that is slow is not dead.
    const archive = new Blob([own.value]);
    return ownEar({ archive, openWorker: openVoskWorker, killable: () => undefined, restarted: console.log });
  }
  const tiny = join(folder, 'tiny-model.tgz');
  if (model === 'tiny') await writeFile(tiny, await buildTinyModel());
  const engine = await voskRecogniser(model === 'tiny' ? tiny : model);
  return engine.ok ? engine.value : problemLine(engine.problem);
}
