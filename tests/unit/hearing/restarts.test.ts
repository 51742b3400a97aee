import { describe, expect, it } from 'vitest';
import { createHearing } from '../../../src/hearing/hearing.ts';
import type { FromWorker, ToWorker } from '../../../src/hearing/worker/hearing-messages.ts';

/** Hearing on workers that the test speaks for. */
function bench(mostRestarts?: number) {
  const told: string[] = [];
  const posted: ToWorker['type'][][] = [];
  const tell: ((message: FromWorker) => void)[] = [];
  const die: ((reason: string) => void)[] = [];
  const hearing = createHearing(
    {
      model: 'm1',
      ...(mostRestarts === undefined ? {} : { mostRestarts }),
      spawn: () => {
        const messages: ToWorker['type'][] = [];
        posted.push(messages);
        return {
          post: (message) => messages.push(message.type),
          onMessage: (take) => tell.push(take),
          onDeath: (take) => die.push(take),
          terminate: () => undefined,
        };
      },
    },
    {
      heard: () => undefined,
      clock: () => undefined,
      problem: ({ what }) => told.push(what),
      restarted: () => told.push('restarted'),
      stopped: () => told.push('stopped'),
    },
  );
  return { hearing, told, posted, tell, die };
}

describe('an engine that dies while hearing', () => {
  it('is told to have been replaced when its worker did that by itself, and no sound is sent again', () => {
    const { hearing, told, posted, tell } = bench();
    tell[0]?.({ type: 'ready' });
    void hearing.feed(new Float32Array(1600), 16_000);
    tell[0]?.({ type: 'restarted', reason: 'The engine is gone: it stopped answering.' });
    expect(told).toEqual(['The engine is gone: it stopped answering.', 'restarted']);
    expect(posted).toEqual([['begin', 'sound']]);
    void hearing.close();
  });

  it('gets the sound that was not worked through again when the whole worker is replaced', () => {
    const { hearing, told, posted, tell, die } = bench();
    tell[0]?.({ type: 'ready' });
    void hearing.feed(new Float32Array(1600), 16_000);
    die[0]?.('it ran out of memory');
    expect(told).toEqual(['Hearing stopped (it ran out of memory) and starts again.', 'restarted']);
    expect(posted[1]).toEqual(['begin', 'sound']);
    void hearing.close();
  });

  it.each([
    ['after one restart where another ear waits', 1],
    ['after three otherwise', undefined],
  ])('stops for good %s', (_, mostRestarts) => {
    const { told, posted, die } = bench(mostRestarts);
    for (let death = 0; death < 4; death += 1) die[death]?.('it broke');
    expect(posted).toHaveLength((mostRestarts ?? 3) + 1);
    expect(told.at(-1)).toBe('stopped');
    expect(told.filter((line) => line === 'stopped')).toHaveLength(1);
  });
});
