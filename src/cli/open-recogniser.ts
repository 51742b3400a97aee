import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createEmbeddedEngine } from '../hearing/embedded/recogniser.ts';
import { folderModelStore } from '../hearing/embedded/store-node.ts';
import type { Recogniser } from '../hearing/port.ts';
import { createVoskRecogniser } from '../hearing/vosk/engine.ts';
import { openVoskWorker } from '../hearing/vosk/node.ts';
import { bad, good, type Outcome } from '../units/outcome.ts';
import type { HearArguments } from './hear-arguments.ts';
import { readBytes } from './read-inputs.ts';

const MODELS = fileURLToPath(new URL('../../public/models/', import.meta.url));
const EMBEDDED_MODEL = join(MODELS, 'embedded');

/** The engine that was asked for, with its model loaded. */
export async function openRecogniser({ engine, model }: HearArguments): Promise<Outcome<Recogniser>> {
  const recogniser =
    engine === 'vosk'
      ? await voskRecogniser(model)
      : good(createEmbeddedEngine(folderModelStore(model ?? EMBEDDED_MODEL)));
  if (!recogniser.ok) return recogniser;
  try {
    await recogniser.value.load(() => undefined);
    return recogniser;
  } catch (error) {
    const repair = engine === 'embedded' && model === undefined ? 'Run `npm run assets`, which makes it.' : undefined;
    return bad(error instanceof Error ? error.message : String(error), undefined, repair);
  }
}

/** Vosk on the archive that was named, or the first that is found in `public/models/`. */
async function voskRecogniser(model: string | undefined): Promise<Outcome<Recogniser>> {
  const path = model ?? (await firstArchive());
  if (path === undefined) {
    return bad(
      'there is no Vosk model.',
      'public/models/',
      'Put a Vosk model archive (.tar.gz or .zip) there, or name one with --model.',
    );
  }
  const bytes = await readBytes(path);
  if (!bytes.ok) return bytes;
  const archive = (): Promise<Blob> => Promise.resolve(new Blob([new Uint8Array(bytes.value)]));
  return good(createVoskRecogniser({ archive, openWorker: openVoskWorker }));
}

async function firstArchive(): Promise<string | undefined> {
  const names = await readdir(MODELS).catch(() => []);
  const name = names.filter((each) => /\.(tar\.gz|tgz|zip)$/.test(each)).sort()[0];
  return name === undefined ? undefined : join(MODELS, name);
}
