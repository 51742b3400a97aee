import { browserVoiceSources } from '../../../src/answering/browser-voice-sources.ts';
import fliteWorkerUrl from '../../../src/answering/flite-worker.ts?worker&url';
import { createFlite, type Flite, type Speech } from '../../../src/answering/flite.ts';
import { VOICE_FILES } from '../../../src/answering/voice-pack.ts';
import { readGrammar } from '../../../src/grammar/read-grammar.ts';
import { createEmbeddedEngine } from '../../../src/hearing/embedded/recogniser.ts';
import { webModelStore } from '../../../src/hearing/embedded/store-web.ts';
import { openVoskWorker } from '../../../src/hearing/vosk/host/open-in-page.ts';
import { fetchServedModel } from '../../../src/hearing/vosk/model/served-model.ts';
import { confinedWorker } from '../../../src/hearing/worker/confined-worker.ts';
import { problemLine, type Outcome } from '../../../src/units/outcome.ts';
import type { TubeHost } from './host.ts';
import { ownEar } from './own-ear.ts';

const GRAMMARS = import.meta.glob<string>('../../../grammars/*.jsgf', {
  query: '?raw',
  import: 'default',
  eager: true,
});

const served = (path: string): URL => new URL(`/${path}`, location.origin);

/** Test tubes in a page: models, voice and workers as the server gives them to the app. */
export async function browserHost(): Promise<TubeHost> {
  const grammar = valueOf(readGrammar(GRAMMARS));
  const archive = valueOf(await fetchServedModel(served('models/own/').href, fetch.bind(globalThis)));
  const voice = browserVoiceSources(served('voice/'), () => confinedWorker(fliteWorkerUrl, 'voice'));
  let flite: Promise<Flite> | undefined;
  const spoken = new Map<string, Promise<Speech>>();
  return {
    grammar,
    speak: (text, voiceName) => {
      flite ??= fetchFlite();
      const key = `${voiceName} ${text}`;
      const known = spoken.get(key) ?? flite.then((ready) => ready.speak(text, voiceName));
      spoken.set(key, known);
      return known;
    },
    voicePack: async () => {
      const pack = await voice.loadPack();
      if (pack === undefined) throw new Error('The clips of the voice are not served: run `npm run assets`.');
      return pack;
    },
    engine: (ear, killable, restarted) =>
      ear === 'embedded'
        ? createEmbeddedEngine(webModelStore(served('models/embedded/').href))
        : ownEar({ archive, openWorker: openVoskWorker, killable, restarted }),
    close: () => Promise.resolve(),
  };
}

async function fetchFlite(): Promise<Flite> {
  const answer = await fetch(served(`voice/${VOICE_FILES.synthesiser}`));
  return createFlite(await answer.arrayBuffer());
}

function valueOf<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(problemLine(outcome.problem));
  return outcome.value;
}
