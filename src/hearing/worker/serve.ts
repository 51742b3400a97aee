import { createListener, type Listener, type ListenerOptions } from '../listener.ts';
import type { Recogniser } from '../port.ts';
import type { FromWorker, ToWorker } from './protocol.ts';

/** Runs the listening side of the protocol: give each message of the main thread to the function that is returned. */
export function serve(
  createEngine: (model: string, restarted: (reason: string) => void) => Recogniser,
  post: (message: FromWorker) => void,
): (message: ToWorker) => void {
  let listener: Listener | undefined;
  let goOn: (() => void) | undefined;
  let work: Promise<void> = Promise.resolve();
  let failed = false;

  const posted = (message: FromWorker): Promise<void> =>
    new Promise((resolve) => {
      goOn = resolve;
      post(message);
    });
  const fail = (error: unknown, loading: boolean): void => {
    if (failed) return;
    failed = true;
    post({ type: 'failed', reason: error instanceof Error ? error.message : String(error), loading });
  };
  const begin = async (model: string, options: ListenerOptions): Promise<void> => {
    try {
      const engine = createEngine(model, (reason) => post({ type: 'restarted', reason }));
      await engine.load((fraction) => post({ type: 'loading', fraction }));
      listener = createListener(engine, options, {
        started: (at) => post({ type: 'started', at }),
        heard: (heard, until) => posted({ type: 'heard', heard, until }),
        clock: (now, sound, needed) => posted({ type: 'clock', now, sound, needed }),
        refused: (reason) => post({ type: 'refused', reason }),
      });
      if (pending !== undefined) listener.listenFor(pending);
      post({ type: 'ready' });
    } catch (error) {
      fail(error, true);
    }
  };
  let pending: Parameters<Listener['listenFor']>[0] | undefined;
  const inTurn = (step: (to: Listener) => Promise<void>): void => {
    work = work.then(async () => {
      if (failed || listener === undefined) return;
      try {
        await step(listener);
        post({ type: 'done' });
      } catch (error) {
        fail(error, false);
      }
    });
  };

  return (message) => {
    if (message.type === 'begin') work = begin(message.model, message.options);
    else if (message.type === 'go') goOn?.();
    else if (message.type === 'flush') inTurn((to) => to.flush());
    else if (message.type === 'sound') inTurn((to) => to.push(message.samples, message.rate));
    else {
      pending = message.ruleset;
      listener?.listenFor(message.ruleset);
    }
  };
}
