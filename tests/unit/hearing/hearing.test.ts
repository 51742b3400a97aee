import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeModel } from '../../../src/cli/assets/assets-model.ts';
import { compile } from '../../../src/grammar/compile.ts';
import { PRONUNCIATIONS } from '../../../src/grammar/pronunciations.ts';
import { createHearing, type Hearing, type HearingEvents, type HearingOptions } from '../../../src/hearing/hearing.ts';
import type { Heard } from '../../../src/hearing/port.ts';
import type { FromWorker, WorkerHandle } from '../../../src/hearing/worker/hearing-messages.ts';
import { spawnNodeWorker } from '../../../src/hearing/worker/spawn-node.ts';
import type { Problem } from '../../../src/units/outcome.ts';
import { samplesToMs } from '../../../src/units/time.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { joined, silence } from './signals.ts';
import { speak } from './voice.ts';

const grammar = loadGrammar();
const readings = compile(grammar, ['readings'], 'psi');
const cues = compile(grammar, ['cues'], 'psi');
const LIMIT = { timeout: 600_000 };

let model = '';
let cue: Float32Array;
let reading: Float32Array;

beforeAll(async () => {
  model = await mkdtemp(join(tmpdir(), 'two-needles-hearing-'));
  await writeModel(model, { words: [...new Set([...readings.words, ...cues.words])], pronunciations: PRONUNCIATIONS });
  cue = await speak('chocks set', 'slt');
  reading = await speak('both one twenty', 'slt');
}, 600_000);

afterAll(() => rm(model, { recursive: true }));

interface Ear {
  readonly hearing: Hearing;
  readonly heard: Heard[];
  readonly problems: Problem[];
  readonly clock: number[];
}

function listen(options: Partial<HearingOptions>, events: Partial<HearingEvents> = {}): Ear {
  const ear = { heard: [] as Heard[], problems: [] as Problem[], clock: [] as number[] };
  const hearing = createHearing(
    { spawn: spawnNodeWorker, model, live: false, patienceMs: 600_000, ...options },
    {
      heard: async (heard) => {
        ear.heard.push(heard);
        await events.heard?.(heard);
      },
      clock: (now) => void ear.clock.push(now),
      problem: (problem) => void ear.problems.push(problem),
    },
  );
  return { ...ear, hearing };
}

describe('hearing on a worker', () => {
  it('decodes the next utterance by the ruleset that was set on hearing the one before, in one go', LIMIT, async () => {
    const ear: Ear = listen(
      {},
      {
        // Late on purpose: the next utterance waits for it.
        heard: async () => {
          await new Promise((resolve) => setImmediate(resolve));
          ear.hearing.listenFor(readings);
        },
      },
    );
    ear.hearing.listenFor(cues);
    await ear.hearing.feed(joined(silence(1000), cue, silence(1000), reading, silence(1000)), 16_000);
    await ear.hearing.close();
    expect(ear.heard.map((each) => each.text)).toEqual(['chocks set', 'both one twenty']);
    expect(ear.problems).toEqual([]);
  });

  it(
    'gives the same from the same sound at 48 kHz in small pieces, and runs the clock every 100 ms',
    LIMIT,
    async () => {
      const sound = joined(silence(1000), reading, silence(900));
      const whole = listen({});
      whole.hearing.listenFor(readings);
      await whole.hearing.feed(sound, 16_000);
      await whole.hearing.close();

      const pieces = listen({ live: true });
      pieces.hearing.listenFor(readings);
      // Three samples for one: crude, but what it adds lies above 8 kHz.
      const tripled = Float32Array.from({ length: sound.length * 3 }, (_, i) => sound[Math.floor(i / 3)]!);
      for (let at = 0; at < tripled.length; at += 4800) void pieces.hearing.feed(tripled.slice(at, at + 4800), 48_000);
      await pieces.hearing.flush();
      await pieces.hearing.close();

      expect(pieces.heard.map((each) => each.text)).toEqual(['both one twenty']);
      expect(Math.abs(pieces.heard[0]!.start - whole.heard[0]!.start)).toBeLessThan(30);
      expect(Math.abs(pieces.heard[0]!.end - whole.heard[0]!.end)).toBeLessThan(30);
      expect(whole.clock.slice(0, 3)).toEqual([100, 200, 300]);
      // The clock of 100 ms tells all sound but less than one of its steps.
      expect(samplesToMs(sound.length) - pieces.clock.at(-1)!).toBeLessThan(100);
      expect(pieces.clock.at(-1)).toBeLessThanOrEqual(samplesToMs(sound.length));
    },
  );

  it('hears the speech that was going on when its worker died, once, and tells of the death', LIMIT, async () => {
    const workers: WorkerHandle[] = [];
    const ear = listen({
      spawn: () => {
        const worker = spawnNodeWorker();
        workers.push(worker);
        return worker;
      },
    });
    ear.hearing.listenFor(readings);
    const sound = joined(silence(1500), reading, silence(1000), reading, silence(1000));
    const middle = Math.round(sound.length * 0.7);
    await ear.hearing.feed(sound.slice(0, middle), 16_000);
    workers[0]?.terminate();
    await ear.hearing.feed(sound.slice(middle), 16_000);
    await ear.hearing.flush();
    await ear.hearing.close();
    expect(ear.heard.map((each) => each.text)).toEqual(['both one twenty', 'both one twenty']);
    const apart = ear.heard[1]!.start - ear.heard[0]!.start;
    expect(Math.abs(apart - samplesToMs(reading.length + silence(1000).length))).toBeLessThan(40);
    expect(ear.problems.map((problem) => problem.what)).toEqual([
      expect.stringMatching(/^Hearing stopped .* and starts again\.$/),
    ]);
    expect(ear.clock).toEqual([...new Set(ear.clock)]);
  });

  it('goes on hearing when who is told of an utterance or of the time fails, and says so', async () => {
    const posted: string[] = [];
    let post: (message: FromWorker) => void = () => undefined;
    const problems: string[] = [];
    createHearing(
      {
        model,
        spawn: () => ({
          post: ({ type }) => posted.push(type),
          onMessage: (take) => (post = take),
          onDeath: () => undefined,
          terminate: () => undefined,
        }),
      },
      {
        heard: () => {
          throw new Error('the state has no such step');
        },
        clock: () => Promise.reject(new Error('the disk is gone')),
        problem: ({ what }) => problems.push(what),
      },
    );
    const utterance = { engine: 'embedded', words: [], text: 'yes', start: 0, end: 100, confidence: 1 } as const;
    const heard: Heard = { ...utterance, rejected: false, clip: new Float32Array(0) };
    post({ type: 'ready' });
    post({ type: 'heard', heard, until: 1600 });
    await expect.poll(() => posted.filter((type) => type === 'go')).toHaveLength(1);
    post({ type: 'clock', now: 200, sound: { level: -50, floor: -50, snr: 0, clipped: false }, needed: 0 });
    await expect.poll(() => posted.filter((type) => type === 'go')).toHaveLength(2);
    expect(problems).toEqual([
      'What was heard could not be taken in (the state has no such step).',
      'What was heard could not be taken in (the disk is gone).',
    ]);
  });

  it('gives up on a worker that keeps dying, says so, and lets the sound pass', async () => {
    const ear = listen({
      spawn: () => ({
        post: () => undefined,
        onMessage: () => undefined,
        onDeath: (take) => void setImmediate(() => take('out of memory')),
        terminate: () => undefined,
      }),
    });
    const fed = ear.hearing.feed(silence(500), 16_000);
    expect(await ear.hearing.ready).toBe(false);
    await fed;
    expect(ear.problems.at(-1)?.what).toBe('Hearing keeps stopping (out of memory).');
    expect(ear.problems.at(-1)?.repair).toMatch(/by touch and keyboard/);
  });

  it('says which model is missing, and does not try again', LIMIT, async () => {
    const ear = listen({ model: join(model, 'nowhere') });
    expect(await ear.hearing.ready).toBe(false);
    await ear.hearing.feed(silence(100), 16_000);
    expect(ear.problems.map((problem) => problem.what)).toEqual([expect.stringContaining('missing manifest.json')]);
  });

  it('says that a grammar is refused, and hears again by the next', LIMIT, async () => {
    const ear = listen({});
    ear.hearing.listenFor({
      ...cues,
      id: 'strange',
      jsgf: '#JSGF V1.0;\ngrammar s;\npublic <active> = xylophonist;\n',
    });
    await ear.hearing.feed(joined(silence(800), cue, silence(800)), 16_000);
    ear.hearing.listenFor(cues);
    await ear.hearing.feed(joined(silence(200), cue, silence(800)), 16_000);
    await ear.hearing.close();
    expect(ear.problems.map((problem) => problem.what)).toEqual([expect.stringMatching(/refused the grammar/)]);
    expect(ear.heard.map((each) => each.text)).toEqual(['chocks set']);
  });
});
