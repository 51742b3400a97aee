import type { Recogniser } from '../../../src/hearing/port.ts';
import type { FromWorker, ToWorker, WorkerHandle } from '../../../src/hearing/worker/hearing-messages.ts';
import { serve } from '../../../src/hearing/worker/serve.ts';
import type { Busy } from './busy.ts';

/** A hearing worker that can be killed. */
export interface TubeWorker extends WorkerHandle {
  /** Ends it as the system ends one: nothing that it was doing comes to an end. */
  die(reason: string): void;
}

/** The listening side of the protocol in this thread, over an engine of its own. */
export function tubeWorker(
  createEngine: (model: string, restarted: (reason: string) => void) => Recogniser,
  busy: Busy,
): TubeWorker {
  let tell: (message: FromWorker) => void = () => undefined;
  let tellDeath: (reason: string) => void = () => undefined;
  let dead = false;
  const open: (() => void)[] = [];
  const release = (): void => open.splice(0).forEach((done) => done());
  const engines: Recogniser[] = [];
  const opening = (model: string, restarted: (reason: string) => void): Recogniser => {
    const engine = createEngine(model, restarted);
    engines.push(engine);
    return engine;
  };
  const post = (message: FromWorker): void => {
    if (dead) return;
    // Messages of a worker arrive after what was going on, never in the middle of it.
    queueMicrotask(() => {
      if (dead) return;
      if (message.type === 'failed') release();
      else if (message.type === 'ready' || message.type === 'done') open.shift()?.();
      tell(message);
    });
  };
  // No engine takes time here, however busy the machine is.
  const take = serve(opening, post, undefined, () => 0);
  const end = (): void => {
    dead = true;
    release();
    // What a real worker takes with it; nobody is left to hear how that went.
    for (const engine of engines.splice(0)) void engine.close().catch(() => undefined);
  };
  return {
    post(message: ToWorker) {
      if (dead) return;
      if (message.type === 'begin' || message.type === 'sound' || message.type === 'flush') open.push(busy.begin());
      take(message);
    },
    onMessage: (next) => {
      tell = next;
    },
    onDeath: (next) => {
      tellDeath = next;
    },
    terminate: end,
    die(reason) {
      if (dead) return;
      end();
      tellDeath(reason);
    },
  };
}
