import type { Ruleset } from '../../grammar/ruleset.ts';
import type { EngineId } from '../../units/engine.ts';
import type { Heard, Progress, Recogniser } from '../port.ts';

type Call =
  | { readonly do: 'load' }
  | { readonly do: 'setGrammar'; readonly ruleset: Ruleset }
  | { readonly do: 'recognise'; readonly samples: Float32Array; readonly startSample: number };

/** To the worker, and back. */
export interface Asked {
  readonly id: number;
  readonly call: Call;
}
export type Answered =
  | { readonly id: number; readonly heard: Heard | undefined }
  | { readonly id: number; readonly failed: string };

/** The part of a worker that is needed. */
export interface RemoteWorker {
  post(message: Asked): void;
  onMessage(take: (message: Answered) => void): void;
  onDeath(take: (reason: string) => void): void;
  terminate(): void;
}

/** An engine in a worker of its own. When the worker dies, all that was and will be asked of it fails. */
export function remoteRecogniser(id: EngineId, worker: RemoteWorker): Recogniser {
  const waiting = new Map<number, { resolve(heard: Heard | undefined): void; reject(error: Error): void }>();
  let asked = 0;
  let dead: string | undefined;
  worker.onMessage((message) => {
    const each = waiting.get(message.id);
    waiting.delete(message.id);
    if ('failed' in message) each?.reject(new Error(message.failed));
    else each?.resolve(message.heard);
  });
  worker.onDeath((reason) => {
    dead = `its worker is gone (${reason})`;
    for (const each of waiting.values()) each.reject(new Error(dead));
    waiting.clear();
  });
  const ask = (call: Call): Promise<Heard | undefined> =>
    new Promise((resolve, reject) => {
      if (dead !== undefined) {
        reject(new Error(dead));
        return;
      }
      asked += 1;
      waiting.set(asked, { resolve, reject });
      worker.post({ id: asked, call });
    });
  return {
    id,
    load: async (onProgress: Progress) => {
      await ask({ do: 'load' });
      onProgress(1);
    },
    async setGrammar(ruleset) {
      await ask({ do: 'setGrammar', ruleset });
    },
    async recognise(samples, startSample) {
      const heard = await ask({ do: 'recognise', samples, startSample });
      if (heard === undefined) throw new Error('the worker answered another question');
      return heard;
    },
    close: () => {
      worker.terminate();
      return Promise.resolve();
    },
  };
}

/** The worker's side: give each message to the function that is returned. */
export function answerFor(engine: Recogniser, post: (message: Answered) => void): (message: Asked) => void {
  let work: Promise<unknown> = Promise.resolve();
  const answer = async (call: Call): Promise<Heard | undefined> => {
    if (call.do === 'load') await engine.load(() => undefined);
    else if (call.do === 'setGrammar') await engine.setGrammar(call.ruleset);
    else return engine.recognise(call.samples, call.startSample);
    return undefined;
  };
  return ({ id, call }) => {
    work = work.then(() =>
      answer(call).then(
        (heard) => post({ id, heard }),
        (error: unknown) => post({ id, failed: error instanceof Error ? error.message : String(error) }),
      ),
    );
  };
}
