import type { Ruleset } from '../../grammar/ruleset.ts';
import { problemLine } from '../../units/outcome.ts';
import type { Heard, Progress, Recogniser } from '../port.ts';
import { listeningFor, UNKNOWN } from './phrases.ts';
import type { Listening } from './phrases.ts';
import type { OpenVoskWorker } from './engine-messages.ts';
import { toHeard, type LateEdges } from './heard-words.ts';
import { hearingStream } from './hearing-stream.ts';
import { VoskSession, WorkerDeath } from './worker-session.ts';

export interface VoskOptions {
  /** The model archive (tar.gz or zip); asked for at load, and again when a dead worker is replaced. */
  readonly archive: () => Promise<Blob>;
  /** `openVoskWorker` of `host/open-in-page.ts` or `host/open-in-node.ts`. */
  readonly openWorker: OpenVoskWorker;
  /** For a model whose edges were measured. Default: they are taken as the engine gives them. */
  readonly lateEdges?: LateEdges;
  /** Called with one plain sentence when the worker died and is being replaced; for the log. Default: nothing. */
  readonly onRestart?: (reason: string) => void;
  /**
   * The worker counts as dead when an utterance is not answered within this time in ms (plus four times its own length):
   * browsers do not always say that a worker was killed. Default: 6000.
   */
  readonly patienceMs?: number;
}

const PATIENCE_MS = 6000;
const NOTHING: Listening = { phrases: JSON.stringify([UNKNOWN]) };
/** 0.1 s of silence: enough to show that the model can recognise at all. */
const PROBE_SAMPLES = 1600;

/**
 * The accurate engine: Vosk in a worker, on a model that the user added. Utterances are heard one after another; one that was
 * being heard when the worker died is heard again by its replacement.
 */
export function createVoskRecogniser(options: VoskOptions): Recogniser {
  let session: VoskSession | undefined;
  let listening = NOTHING;
  let rulesetId = '';
  let runningFor = NOTHING;
  let runningId = '';
  let closed = false;
  let reviving: Promise<VoskSession> | undefined;
  let queue: Promise<unknown> = Promise.resolve();

  const start = async (onProgress: Progress): Promise<VoskSession> => {
    const archive = await options.archive();
    const fresh = new VoskSession(options.openWorker, options.patienceMs ?? PATIENCE_MS, ({ message }) => {
      options.onRestart?.(message);
      // At once, so that the next callout finds it ready. Should it fail, that callout tries again, and tells.
      living().catch(() => undefined);
    });
    try {
      await fresh.load(archive, onProgress);
      // Some broken models load and fail only when they are used.
      await fresh.hear(new Float32Array(PROBE_SAMPLES), NOTHING);
    } catch (error) {
      fresh.end();
      throw new Error(loadProblem(error), { cause: error });
    }
    // `close` may have come while the model was loading.
    if (closed) fresh.end();
    else fresh.prepare(listening);
    return fresh;
  };

  const living = async (): Promise<VoskSession> => {
    if (closed) throw new Error('The vosk engine is closed.');
    if (session === undefined) throw new Error('The vosk engine is not loaded yet.');
    if (session.alive) return session;
    reviving ??= start(() => undefined).finally(() => (reviving = undefined));
    session = await reviving;
    return session;
  };

  const hear = async (samples: Float32Array, startSample: number, heardWith: Listening): Promise<Heard> => {
    const current = await living();
    const words = await current.hear(samples, heardWith).catch(async (error: unknown) => {
      if (!(error instanceof WorkerDeath) || closed) throw error;
      return (await living()).hear(samples, heardWith);
    });
    if (!closed) current.prepare(listening);
    return toHeard(words, samples, startSample, options.lateEdges);
  };

  return {
    id: 'vosk',
    async load(onProgress) {
      session?.end();
      session = await start(onProgress);
    },
    setGrammar(ruleset: Ruleset) {
      if (ruleset.id !== rulesetId) listening = listeningFor(ruleset);
      rulesetId = ruleset.id;
      if (session?.alive === true) session.prepare(listening);
      return Promise.resolve();
    },
    recognise(samples, startSample) {
      const heardWith = listening;
      const heard = queue.then(() => hear(samples, startSample, heardWith));
      queue = heard.catch(() => undefined);
      return heard;
    },
    async listen(ruleset, startSample) {
      if (ruleset.id !== runningId) runningFor = listeningFor(ruleset, true);
      runningId = ruleset.id;
      const heardWith = runningFor;
      const current = await living();
      const stream = current.open(heardWith);
      current.prepare(heardWith);
      return hearingStream(stream, startSample, options.lateEdges);
    },
    close() {
      closed = true;
      session?.end();
      return Promise.resolve();
    },
  };
}

/** The engine's own words are for its developers (and stay in `cause`); only the death of the worker is told apart. */
function loadProblem(error: unknown): string {
  return problemLine({
    what: error instanceof WorkerDeath ? error.message : 'The vosk engine cannot use this model.',
    repair: 'Check the model, or add it again.',
  });
}
