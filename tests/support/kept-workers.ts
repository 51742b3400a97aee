import type { FromWorker, OpenVoskWorker, VoskWorker } from '../../src/hearing/vosk/engine-messages.ts';

/** A worker with its model loaded, and whom it answers now. */
interface Kept {
  readonly worker: VoskWorker;
  /** Recognisers of one user are told from those of the one before by this. */
  user: number;
  hooks: Parameters<OpenVoskWorker>[0] | undefined;
  isLoaded: boolean;
  readonly recognisers: Set<string>;
}

/**
 * Opens the engine's workers as `open` does, but gives one that is let go of, with its model loaded, to whoever asks next: to load costs
 * as much as some seconds of speech. Every utterance has a recogniser of its own, so nobody hears what was said before. For one
 * model; the last worker stays as long as the process, or the page.
 */
export function keptWorkers(open: OpenVoskWorker): OpenVoskWorker {
  const idle: Kept[] = [];
  let users = 0;

  const begin = (hooks: Parameters<OpenVoskWorker>[0]): Kept => {
    const kept: Kept = {
      worker: open({
        message: (message) => answer(kept, message),
        death: (reason) => {
          idle.splice(0, idle.length, ...idle.filter((each) => each !== kept));
          kept.hooks?.death(reason);
          kept.hooks = undefined;
        },
      }),
      user: 0,
      hooks,
      isLoaded: false,
      recognisers: new Set(),
    };
    return kept;
  };

  return (hooks) => {
    const kept = idle.pop() ?? begin(hooks);
    kept.hooks = hooks;
    kept.user = users += 1;
    const own = `${kept.user} `;
    return {
      wasmUrl: kept.worker.wasmUrl,
      post(message, transfer) {
        if (kept.hooks !== hooks) return;
        if (kept.isLoaded && message.action === 'archive') return;
        if (kept.isLoaded && message.action === 'load') {
          queueMicrotask(() => hooks.message({ event: 'load', result: true }));
          return;
        }
        if (!('recognizerId' in message)) {
          kept.worker.post(message, transfer);
          return;
        }
        const recognizerId = own + message.recognizerId;
        if (message.action === 'create') kept.recognisers.add(recognizerId);
        if (message.action === 'remove') kept.recognisers.delete(recognizerId);
        kept.worker.post({ ...message, recognizerId }, transfer);
      },
      terminate() {
        if (kept.hooks !== hooks) return;
        kept.hooks = undefined;
        if (!kept.isLoaded) {
          kept.worker.terminate();
          return;
        }
        for (const recognizerId of kept.recognisers) kept.worker.post({ action: 'remove', recognizerId });
        kept.recognisers.clear();
        idle.push(kept);
      },
    };
  };
}

/** Hands on what the worker says, but for answers to a user who has let go of it. */
function answer(kept: Kept, message: FromWorker): void {
  if (message?.event === 'load') kept.isLoaded = true;
  const own = `${kept.user} `;
  if (message === undefined || !('recognizerId' in message)) {
    kept.hooks?.message(message);
    return;
  }
  if (message.recognizerId.startsWith(own))
    kept.hooks?.message({ ...message, recognizerId: message.recognizerId.slice(own.length) });
}
