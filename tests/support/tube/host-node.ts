import 'fake-indexeddb/auto';
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { readVoicePack, VOICE_FILES, type VoicePack } from '../../../src/answering/voice-pack.ts';
import type { FliteVoice, Speech } from '../../../src/answering/flite.ts';
import { writeModel } from '../../../src/cli/assets/assets-model.ts';
import { cachedFlite } from '../../../src/cli/assets/cached-flite.ts';
import { buildOwnModel } from '../../../src/cli/model/own-model.ts';
import { grammarWords } from '../../../src/cli/shared/read-inputs.ts';
import { PRONUNCIATIONS } from '../../../src/grammar/pronunciations.ts';
import { createEmbeddedEngine } from '../../../src/hearing/embedded/recogniser.ts';
import { folderModelStore } from '../../../src/hearing/embedded/store-node.ts';
import { openVoskWorker } from '../../../src/hearing/vosk/host/open-in-node.ts';
import { problemLine } from '../../../src/units/outcome.ts';
import { loadGrammar } from '../grammar.ts';
import { keptWorkers } from '../kept-workers.ts';
import type { TubeHost } from './host.ts';
import { ownEar } from './own-ear.ts';

const PUBLIC = new URL('../../../public/', import.meta.url);
const MODEL = fileURLToPath(new URL('models/embedded', PUBLIC));

const openWorker = keptWorkers(openVoskWorker);
const flite = cachedFlite();
const spoken = new Map<string, Promise<Speech>>();
let pack: Promise<VoicePack> | undefined;
let host: Promise<TubeHost> | undefined;

/** Words in a voice, rendered once in a process and once on a machine. */
function speakOnce(text: string, voice: FliteVoice): Promise<Speech> {
  const key = `${voice} ${text}`;
  const known = spoken.get(key) ?? flite.speak(text, voice);
  spoken.set(key, known);
  return known;
}

/** Test tubes in Node, the same for all of a process. Makes the embedded ear's model when it is not there; the clips of the voice are those of `npm run assets`. */
export function nodeHost(): Promise<TubeHost> {
  return (host ??= openHost());
}

async function openHost(): Promise<TubeHost> {
  const grammar = loadGrammar();
  const written = await writeModel(MODEL, { words: grammarWords(grammar), pronunciations: PRONUNCIATIONS });
  if (!written.ok) throw new Error(problemLine(written.problem));
  const own = await buildOwnModel(grammar);
  if (!own.ok) throw new Error(problemLine(own.problem));
  const archive = new Blob([new Uint8Array(own.value)]);
  return {
    grammar,
    speak: speakOnce,
    voicePack: () => (pack ??= readPack()),
    engine: (ear, killable, restarted) =>
      ear === 'embedded'
        ? createEmbeddedEngine(folderModelStore(MODEL))
        : ownEar({ archive, openWorker, killable, restarted }),
    close: () => Promise.resolve(),
  };
}

async function readPack(): Promise<VoicePack> {
  const file = (name: string): URL => new URL(`voice/${name}`, PUBLIC);
  const index: unknown = JSON.parse(await readFile(file(VOICE_FILES.index), 'utf8'));
  const read = readVoicePack(index, await readFile(file(VOICE_FILES.clips)));
  if (!read.ok) throw new Error(problemLine(read.problem));
  return read.value;
}
