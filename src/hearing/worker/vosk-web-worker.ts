import { storedArchive } from '../models/browser-models.ts';
import { problemLine } from '../../units/outcome.ts';
import type { ToWorker } from './hearing-messages.ts';
import { remoteRecogniser, type Answered, type RemoteWorker } from './remote-recogniser.ts';
import { serve } from './serve.ts';
import { openVoskWorker } from '../vosk/host/open-in-page.ts';
import { createVoskRecogniser } from '../vosk/vosk-recogniser.ts';
import { OWN_LATE_EDGES } from '../vosk/model/late-edges.ts';
import { fetchServedModel } from '../vosk/model/served-model.ts';

// The module's scope is the worker's: compiled with DOM types for the rest of the app, hence the narrow view of it.
const scope = self as unknown as {
  postMessage(message: unknown): void;
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
};

// The engine runs in a worker of its own below this one: when it dies, the endpointing and the sound around it live on.
const take = serve(
  (model, restarted) =>
    createVoskRecogniser({
      ...(/^https?:/.test(model)
        ? { archive: () => ownArchive(model), lateEdges: OWN_LATE_EDGES }
        : { archive: () => storedArchive(model) }),
      openWorker: openVoskWorker,
      onRestart: restarted,
    }),
  (message) => scope.postMessage(message),
  // In a worker of its own, so that it holds up no sound.
  (model) => remoteRecogniser('embedded', openSecond(model)),
);
scope.onmessage = (event) => take(event.data);

/** `folder`: where the app's own model is served. Rejects with one plain line. */
async function ownArchive(folder: string): Promise<Blob> {
  const archive = await fetchServedModel(folder, fetch);
  if (!archive.ok) throw new Error(problemLine(archive.problem));
  return archive.value;
}

/** The embedded engine; `model` is the address of its model folder. */
function openSecond(model: string): RemoteWorker {
  const worker = new Worker(new URL('./second-web-worker.ts', import.meta.url), {
    type: 'module',
    name: model,
  });
  return {
    post: (message) => worker.postMessage(message),
    onMessage(take) {
      worker.onmessage = (event: MessageEvent<Answered>) => take(event.data);
    },
    onDeath(take) {
      worker.onerror = (event) => take(event.message || 'it could not be started');
    },
    terminate: () => worker.terminate(),
  };
}
