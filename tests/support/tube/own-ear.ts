import type { Recogniser } from '../../../src/hearing/port.ts';
import type { OpenVoskWorker } from '../../../src/hearing/vosk/engine-messages.ts';
import { OWN_LATE_EDGES } from '../../../src/hearing/vosk/model/late-edges.ts';
import { createVoskRecogniser } from '../../../src/hearing/vosk/vosk-recogniser.ts';
import { killableVosk } from './killable-vosk.ts';

/** Longer than any test: only what is killed counts as dead. */
const FOR_EVER = 1e9;

interface OwnEarParts {
  /** Our own model. */
  readonly archive: Blob;
  /** That of the machine: Node, or a page. */
  readonly openWorker: OpenVoskWorker;
  readonly killable: (kill: () => void) => void;
  readonly restarted: (reason: string) => void;
}

/** The engine on our own model, which no time of the real clock ends. */
export function ownEar({ archive, openWorker, killable, restarted }: OwnEarParts): Recogniser {
  return createVoskRecogniser({
    archive: () => Promise.resolve(archive),
    lateEdges: OWN_LATE_EDGES,
    openWorker: killableVosk(openWorker, killable),
    onRestart: restarted,
    patienceMs: FOR_EVER,
  });
}
