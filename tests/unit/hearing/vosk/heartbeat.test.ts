import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { createVoskRecogniser } from '../../../../src/hearing/vosk/vosk-recogniser.ts';
import type { FromWorker, OpenVoskWorker } from '../../../../src/hearing/vosk/engine-messages.ts';

/** A worker that answers as the engine does, hears the same in every sound, and can be killed without a word. */
function deafWorkers(): { readonly open: OpenVoskWorker; readonly killed: Set<number>; opened: number } {
  const made = { opened: 0, killed: new Set<number>(), open: (() => undefined) as unknown as OpenVoskWorker };
  made.open = (hooks) => {
    const me = (made.opened += 1);
    const answer = (message: FromWorker): void => {
      if (!made.killed.has(me)) hooks.message(message);
    };
    return {
      wasmUrl: '',
      post(message) {
        if (message.action === 'load') answer({ event: 'load', result: true });
        if (message.action === 'ping') answer({ event: 'alive' });
        if (message.action !== 'audioChunk' && message.action !== 'retrieveFinalResult') return;
        const { recognizerId } = message;
        queueMicrotask(() =>
          answer({
            event: 'result',
            recognizerId,
            result:
              message.action === 'audioChunk'
                ? { text: 'buzzer', result: [{ word: 'buzzer', start: 0, end: 0.1, conf: 1 }] }
                : { text: '' },
          }),
        );
      },
      terminate: () => made.killed.add(me),
    };
  };
  return made;
}

describe('an idle worker that is killed without a word', () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  it('is missed and replaced before the next callout', async () => {
    const workers = deafWorkers();
    const restarts: string[] = [];
    const engine = createVoskRecogniser({
      archive: () => Promise.resolve(new Blob()),
      openWorker: workers.open,
      onRestart: (reason) => restarts.push(reason),
    });
    await engine.load(() => undefined);
    await vi.advanceTimersByTimeAsync(600_000);
    expect(workers.opened).toBe(1);

    workers.killed.add(1);
    await vi.advanceTimersByTimeAsync(8000);
    expect(restarts).toEqual(["The vosk engine's worker is gone: it stopped answering."]);
    expect(workers.opened).toBe(2);
    expect((await engine.recognise(new Float32Array(1600), 0)).text).toBe('buzzer');
    await engine.close();
  });

  it('is asked no more once the engine is closed', async () => {
    const workers = deafWorkers();
    const engine = createVoskRecogniser({ archive: () => Promise.resolve(new Blob()), openWorker: workers.open });
    await engine.load(() => undefined);
    await engine.close();
    await vi.advanceTimersByTimeAsync(60_000);
    expect(workers.opened).toBe(1);
    expect(vi.getTimerCount()).toBe(0);
  });
});
