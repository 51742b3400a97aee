import { describe, expect, it } from 'vitest';
import { createEndpointer, type EndpointerOptions, type EndpointEvent } from '../../../src/hearing/endpointer.ts';
import { noiseSource } from './signals.ts';
import { FRAME, stepped, type Stretch } from './steps.ts';

/** Long enough for the floor to be known, in frames. */
const BEFORE: Stretch = [300, 0];
const AFTER: Stretch = [100, 0];
/** Well above what begins speech. */
const LOUD = 12;

interface Told {
  /** Frames of sound that had been taken when it was told. */
  readonly after: number;
  readonly type: EndpointEvent['type'];
  /** Where, in frames from the first sample. */
  readonly at?: number;
  readonly from?: number;
  readonly to?: number;
}

function run(sound: Float32Array, options: EndpointerOptions = {}, firstSample = 0): Told[] {
  const endpointer = createEndpointer(options, firstSample);
  const frames = (sample: number): number => (sample - firstSample) / FRAME;
  const told = (event: EndpointEvent, after: number): Told => {
    if (event.type === 'started') return { after, type: event.type, at: frames(event.at) };
    if (event.type === 'resumed') return { after, type: event.type };
    const { start, end } = event.utterance;
    return { after, type: event.type, from: frames(start), to: frames(end) };
  };
  const all: Told[] = [];
  let taken = 0;
  for (let at = 0; at < sound.length; at += FRAME) {
    taken += 1;
    for (const event of endpointer.next(sound.subarray(at, at + FRAME))) all.push(told(event, taken));
  }
  return [...all, ...endpointer.flush().map((event) => told(event, taken))];
}

const cut = (stretches: readonly Stretch[], options: EndpointerOptions = {}): Told[] =>
  run(stepped(stretches), options).filter(({ type }) => type === 'ended');

describe('where an utterance begins', () => {
  it('250 ms before the first of 60 ms of sound, told with the sixth frame', () => {
    const told = run(stepped([BEFORE, [50, LOUD], AFTER]));
    expect(told[0]).toEqual({ after: 306, type: 'started', at: 300 });
    expect(told.at(-1)).toMatchObject({ type: 'ended', from: 275 });
    expect(cut([BEFORE, [6, LOUD], AFTER])).toHaveLength(1);
    expect(cut([BEFORE, [5, LOUD], AFTER])).toEqual([]);
  });

  it('six loud frames within nine, whatever is between them', () => {
    const parted = (quiet: number): Told[] => cut([BEFORE, [3, LOUD], [quiet, 0], [3, LOUD], AFTER]);
    expect(parted(3)).toMatchObject([{ from: 275 }]);
    expect(parted(4)).toEqual([]);
  });

  it('7 dB above the floor, and goes on at 4.5 dB', () => {
    expect(cut([BEFORE, [50, 7.3], AFTER])).toHaveLength(1);
    expect(cut([BEFORE, [50, 6.7], AFTER])).toEqual([]);
    const fading = (above: number): Told | undefined => cut([BEFORE, [20, LOUD], [20, above], AFTER])[0];
    expect(fading(4.8)?.to).toBe(340 + 20);
    // The first frame of a fall still rings with the sound before it.
    expect(fading(4.2)?.to).toBe(321 + 20);
  });

  it('by either band of speech: a hiss begins it as a voice does, and rumble below both does not', () => {
    const at = (hz: number): Told[] => run(stepped([BEFORE, [50, LOUD], AFTER], hz));
    expect(at(5000).at(-1)).toMatchObject({ type: 'ended', from: 275 });
    // So faint and so high that the band of voices does not hear it.
    const faint = run(
      stepped(
        [
          [300, -10],
          [50, LOUD - 10.5],
          [100, -10],
        ],
        6500,
      ),
    );
    expect(faint.at(-1)).toMatchObject({ type: 'ended', from: 275 });
    expect(at(100)).toEqual([]);
  });

  it('from the very first frame of a recording, if it stands 7 dB above -50', () => {
    expect(cut([[25, 7.5], AFTER])).toMatchObject([{ from: 0 }]);
    expect(cut([[25, 6.5], AFTER])).toEqual([]);
  });

  it('7 dB above -65 dB where there was nothing at all before', () => {
    const quiet = (above: number): Told[] =>
      cut([
        [300, -100],
        [50, above],
        [100, -100],
      ]);
    expect(quiet(-7)).toHaveLength(1);
    expect(quiet(-9)).toEqual([]);
  });
});

describe('where an utterance ends', () => {
  it('200 ms after the sound, told after 400 ms of silence or what was asked for', () => {
    const sound = stepped([BEFORE, [50, LOUD], AFTER]);
    expect(run(sound).at(-1)).toEqual({ after: 350 + 40, type: 'ended', from: 275, to: 370 });
    expect(run(sound, { endSilenceMs: 700 }).at(-1)).toEqual({ after: 350 + 70, type: 'ended', from: 275, to: 370 });
  });

  it('no later than the sound that was taken', () => {
    expect(cut([BEFORE, [50, LOUD], [10, 0]])).toMatchObject([{ to: 360 }]);
    expect(run(stepped([BEFORE, [50, LOUD], AFTER]), { endSilenceMs: 120 }).at(-1)).toMatchObject({ to: 362 });
  });

  it('offers it after 200 ms of silence, and takes that back when the sound goes on', () => {
    const told = run(stepped([BEFORE, [50, LOUD], [20, 0], [10, LOUD], AFTER]));
    expect(told).toEqual([
      { after: 306, type: 'started', at: 300 },
      { after: 370, type: 'paused', from: 275, to: 370 },
      { after: 371, type: 'resumed' },
      { after: 400, type: 'paused', from: 275, to: 400 },
      { after: 420, type: 'ended', from: 275, to: 400 },
    ]);
    const shorter = run(stepped([BEFORE, [50, LOUD], [19, 0], [10, LOUD], AFTER]));
    expect(shorter.map(({ type }) => type)).toEqual(['started', 'paused', 'ended']);
  });

  it('offers nothing early where less silence than that ends it', () => {
    const told = run(stepped([BEFORE, [50, LOUD], AFTER]), { endSilenceMs: 150 });
    expect(told.map(({ type }) => type)).toEqual(['started', 'ended']);
  });

  it('at the longest utterance exactly, and the next begins there', () => {
    const [first, second, third] = cut([BEFORE, [150, LOUD], AFTER], { maxUtteranceMs: 500 });
    expect(first).toMatchObject({ after: 325, from: 275, to: 325 });
    expect(second).toMatchObject({ from: 325, to: 375 });
    expect(third).toMatchObject({ from: 375 });
    expect(cut([BEFORE, [20, LOUD], [30, 0], [20, LOUD], AFTER], { endSilenceMs: 250 })).toMatchObject([
      { from: 275, to: 340 },
      { from: 340 },
    ]);
  });

  it('after 15 s when nothing else was asked for', () => {
    // A voice that dips every second, as voices do; else it would become the floor.
    const speech = Array.from({ length: 20 }, (): Stretch[] => [
      [90, LOUD],
      [10, 0],
    ]).flat();
    const [first] = cut([BEFORE, ...speech, AFTER]);
    expect(first).toMatchObject({ from: 275, to: 275 + 1500 });
  });

  it('when a noise that began has lasted 1.8 s: then it is the floor', () => {
    const [engine, ...more] = cut([BEFORE, [600, LOUD], [50, LOUD + 9], [100, LOUD]]);
    expect(engine?.from).toBe(275);
    expect(engine!.to! - 300).toBeGreaterThan(180);
    expect(engine!.to! - 300).toBeLessThan(180 + 30);
    expect(more).toMatchObject([{ from: 875, to: 970 }]);
  });

  it('when the input does, if it has begun', () => {
    expect(run(stepped([BEFORE, AFTER]))).toEqual([]);
    const endpointer = createEndpointer();
    const sound = stepped([BEFORE, [30, LOUD]]);
    for (let at = 0; at < sound.length; at += FRAME) endpointer.next(sound.subarray(at, at + FRAME));
    expect(endpointer.flush()).toHaveLength(1);
    expect(endpointer.flush()).toEqual([]);
  });
});

describe('on a sample clock that does not begin at 0', () => {
  const sound = stepped([BEFORE, [50, LOUD], AFTER]);

  it('every place moves along', () => {
    expect(run(sound, {}, 123_456)).toEqual(run(sound));
  });

  it('no utterance begins before the first sample', () => {
    const endpointer = createEndpointer({}, 1000);
    expect(endpointer.needed).toBe(1000);
    const loud = stepped([[30, LOUD]]);
    for (let at = 0; at < loud.length; at += FRAME) endpointer.next(loud.subarray(at, at + FRAME));
    expect(endpointer.needed).toBe(1000);
    expect(endpointer.flush()).toMatchObject([{ utterance: { start: 1000 } }]);
  });
});

describe('the sound that is still needed', () => {
  it('is 250 ms in silence, from the onset that may be one, and all of an utterance that goes on', () => {
    const first = 5000;
    const endpointer = createEndpointer({}, first);
    const sound = stepped([BEFORE, [50, LOUD], AFTER]);
    const needed = Array.from({ length: sound.length / FRAME }, (_, frame) => {
      endpointer.next(sound.subarray(frame * FRAME, (frame + 1) * FRAME));
      return (endpointer.needed - first) / FRAME;
    });
    expect(needed[9]).toBe(0);
    expect(needed[199]).toBe(200 - 25);
    // From the first loud frame on it stands still, until the utterance has ended.
    expect(new Set(needed.slice(300, 389))).toEqual(new Set([275]));
    // After an utterance nothing of it is wanted any more.
    expect(needed[389]).toBe(370);
    expect(needed[449]).toBe(450 - 25);
  });

  it('never leaves out where an utterance begins, and never goes back, whatever is heard', () => {
    for (const seed of [1, 2, 3]) {
      const random = noiseSource(seed);
      const stretches = Array.from({ length: 60 }, (): Stretch => [
        1 + Math.floor(15 * (1 + random())),
        6 + 6 * random(),
      ]);
      const sound = stepped([BEFORE, ...stretches, AFTER]);
      const endpointer = createEndpointer({ maxUtteranceMs: 1200 }, 777);
      let needed = 0;
      for (let at = 0; at < sound.length; at += FRAME) {
        for (const event of endpointer.next(sound.subarray(at, at + FRAME))) {
          if (event.type === 'ended') expect(event.utterance.start).toBeGreaterThanOrEqual(needed);
        }
        expect(endpointer.needed).toBeGreaterThanOrEqual(needed);
        ({ needed } = endpointer);
      }
    }
  });
});
