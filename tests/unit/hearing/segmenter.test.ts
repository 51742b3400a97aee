import { describe, expect, it } from 'vitest';
import type { Ruleset } from '../../../src/grammar/ruleset.ts';
import { createSegmenter, type Segmenter, type SegmenterOptions } from '../../../src/hearing/segmenter.ts';
import type { Heard, Recogniser } from '../../../src/hearing/port.ts';
import { samplesToMs } from '../../../src/units/time.ts';
import { joined } from './signals.ts';
import { FRAME, stepped, type Stretch } from './steps.ts';

const RATE = 16_000;
const BEFORE: Stretch = [100, 0];
const SPOKEN: Stretch = [50, 12];
const AFTER: Stretch = [60, 0];
/** One utterance from 750 to 1700 ms, told at 1900 ms; two of them, the other 2100 ms later. */
const ONCE = stepped([BEFORE, SPOKEN, AFTER]);
const TWICE = stepped([BEFORE, SPOKEN, AFTER, BEFORE, SPOKEN, AFTER]);

const rules = (id: string): Ruleset => ({ id, rules: [id], jsgf: '', words: [], phrases: [] });

interface Ear {
  readonly segmenter: Segmenter;
  /** Everything told, in order, times in ms. */
  readonly told: string[];
  /** What the engine was asked for. */
  readonly asked: string[];
  /** The sound of each decode. */
  readonly sounds: Float32Array[];
}

interface Script extends Partial<SegmenterOptions> {
  /** What the engine says to a ruleset; it takes it when this is absent. */
  readonly take?: (id: string) => Promise<void>;
  /** Done on hearing an utterance, before the segmenter may go on. */
  readonly onHeard?: (ear: Ear) => Promise<void> | void;
}

function listen({ take, onHeard, ...options }: Script = {}): Ear {
  const told: string[] = [];
  const asked: string[] = [];
  const sounds: Float32Array[] = [];
  let active = '';
  const engine: Recogniser = {
    id: 'embedded',
    load: () => Promise.resolve(),
    close: () => Promise.resolve(),
    async setGrammar({ id }) {
      asked.push(`grammar ${id}`);
      await take?.(id);
      active = id;
    },
    recognise(clip, startSample) {
      asked.push(`decode ${samplesToMs(startSample)}+${samplesToMs(clip.length)} by ${active}`);
      sounds.push(clip);
      const text = `${active} ${samplesToMs(startSample)}`;
      return Promise.resolve({ text, start: samplesToMs(startSample), clip } as unknown as Heard);
    },
  };
  // A turn of the event loop in each callback: what does not wait for it would come out of order.
  const late = (): Promise<void> => new Promise((resolve) => void setImmediate(resolve));
  const segmenter = createSegmenter(
    engine,
    { firstSample: 0, heardUntil: 0, clockUntil: 0, decodeAhead: false, ...options },
    {
      started: (at) => void told.push(`started ${at}`),
      heard: async (heard, until) => {
        await late();
        await onHeard?.(ear);
        told.push(`heard ${heard.text} until ${samplesToMs(until)}`);
      },
      clock: async (now, _sound, needed) => {
        await late();
        told.push(`clock ${now} needs ${samplesToMs(needed)}`);
      },
      refused: (reason) => void told.push(`refused: ${reason}`),
    },
  );
  const ear: Ear = { segmenter, told, asked, sounds };
  segmenter.listenFor(rules('cues'));
  return ear;
}

/** What was told but the clock. */
const news = ({ told }: Ear): string[] => told.filter((line) => !line.startsWith('clock'));

describe('from sound to utterances', () => {
  it('tells onset, clock and utterance in the order of the sample clock, one at a time', async () => {
    const ear = listen();
    await ear.segmenter.push(ONCE, RATE);
    expect(news(ear)).toEqual(['started 1000', 'heard cues 750 until 1700']);
    const clocks = ear.told.filter((line) => line.startsWith('clock'));
    expect(clocks).toHaveLength(21);
    expect(clocks.slice(0, 3)).toEqual(['clock 100 needs 0', 'clock 200 needs 0', 'clock 300 needs 50']);
    expect(ear.told.indexOf('started 1000')).toBe(ear.told.indexOf('clock 1000 needs 750') + 1);
    expect(ear.told.indexOf('heard cues 750 until 1700')).toBe(ear.told.indexOf('clock 1800 needs 750') + 1);
  });

  it('gives the engine the very samples of the utterance, in pieces of any length', async () => {
    for (const piece of [ONCE.length, 4096, 100]) {
      const ear = listen();
      for (let at = 0; at < ONCE.length; at += piece) await ear.segmenter.push(ONCE.slice(at, at + piece), RATE);
      expect(ear.asked).toEqual(['grammar cues', 'decode 750+950 by cues']);
      expect(ear.sounds[0]).toEqual(ONCE.slice(75 * FRAME, 170 * FRAME));
    }
  });

  it('moves everything along with the first sample', async () => {
    const ear = listen({ firstSample: 60 * RATE });
    await ear.segmenter.push(ONCE, RATE);
    expect(news(ear)).toEqual(['started 61000', 'heard cues 60750 until 61700']);
    expect(ear.told[0]).toBe('clock 60100 needs 60000');
    expect(ear.sounds[0]).toEqual(ONCE.slice(75 * FRAME, 170 * FRAME));
  });

  it('ends the utterance that is going on when the input does, and needs no more than it', async () => {
    const ear = listen();
    await ear.segmenter.push(stepped([BEFORE, SPOKEN]), RATE);
    expect(news(ear)).toEqual(['started 1000']);
    await ear.segmenter.flush();
    expect(news(ear)).toEqual(['started 1000', 'heard cues 750 until 1500']);
  });

  it('goes on without a gap when the rate of the microphone changes', async () => {
    const ear = listen();
    // A second at 48 kHz: every sample three times, which adds only what lies above 8 kHz.
    const tripled = Float32Array.from({ length: 3 * RATE }, (_, n) => ONCE[Math.floor(n / 3)] ?? 0);
    await ear.segmenter.push(tripled, 48_000);
    await ear.segmenter.push(ONCE.slice(RATE), RATE);
    await ear.segmenter.flush();
    expect(news(ear)).toEqual(['started 1000', 'heard cues 750 until 1700']);
    expect(ear.told.at(-1)).toMatch(/^clock 2100 /);
  });

  it('goes on without a gap after a flush, and loses nothing of the last piece', async () => {
    const ear = listen();
    const half = Float32Array.from({ length: 3 * RATE }, (_, n) => ONCE[Math.floor(n / 3)] ?? 0);
    await ear.segmenter.push(half, 48_000);
    await ear.segmenter.flush();
    expect(ear.told.at(-1)).toMatch(/^clock 1000 /);
    await ear.segmenter.push(ONCE.slice(RATE), RATE);
    expect(news(ear)).toEqual(['started 1000', 'heard cues 750 until 1700']);
  });
});

describe('beginning again where an engine died', () => {
  it('tells no utterance, onset or clock a second time', async () => {
    const from = { heardUntil: 17 * 1600, clockUntil: 20 * 1600 };
    const ear = listen(from);
    await ear.segmenter.push(TWICE, RATE);
    expect(news(ear)).toEqual(['started 3100', 'heard cues 2850 until 3800']);
    expect(ear.told[0]).toBe('clock 2100 needs 1850');
    expect(ear.asked.filter((line) => line.startsWith('decode'))).toHaveLength(1);
  });

  it('tells the utterance that had begun but not ended', async () => {
    const ear = listen({ heardUntil: 17 * 1600 - 1, clockUntil: 12 * 1600 });
    await ear.segmenter.push(ONCE, RATE);
    expect(news(ear)).toEqual(['heard cues 750 until 1700']);
    const atOnset = listen({ heardUntil: 10 * 1600 });
    await atOnset.segmenter.push(ONCE, RATE);
    expect(news(atOnset)[0]).toBe('started 1000');
  });
});

describe('which ruleset an utterance is decoded by', () => {
  it('that of the moment, also when it was set on hearing the one before', async () => {
    const ear = listen({ onHeard: ({ segmenter }) => segmenter.listenFor(rules('readings')) });
    await ear.segmenter.push(TWICE, RATE);
    expect(news(ear).filter((line) => line.startsWith('heard'))).toEqual([
      'heard cues 750 until 1700',
      'heard readings 2850 until 3800',
    ]);
  });

  it('none at all before the first is set: the utterance passes', async () => {
    const told: string[] = [];
    const never = (): never => {
      throw new Error('Nothing is to be decoded.');
    };
    const segmenter = createSegmenter(
      { id: 'embedded', load: never, close: never, setGrammar: never, recognise: never },
      { firstSample: 0, heardUntil: 0, clockUntil: 0, decodeAhead: true },
      {
        started: () => void told.push('started'),
        heard: never,
        clock: () => Promise.resolve(),
        refused: never,
      },
    );
    await segmenter.push(ONCE, RATE);
    expect(told).toEqual(['started']);
  });

  it('says once that the engine refuses one, passes over utterances, and hears again by the next', async () => {
    const take = (id: string): Promise<void> =>
      id === 'cues' ? Promise.reject(new Error('No word “xylophonist”.')) : Promise.resolve();
    const ear = listen({ take });
    await ear.segmenter.push(TWICE, RATE);
    expect(news(ear)).toEqual(['started 1000', 'refused: No word “xylophonist”.', 'started 3100']);
    expect(ear.asked).toEqual(['grammar cues']);
    ear.segmenter.listenFor(rules('readings'));
    await ear.segmenter.push(TWICE.slice(0, ONCE.length), RATE);
    expect(news(ear).at(-1)).toBe('heard readings 4950 until 5900');
  });

  it('gives the reason in the engine’s own words when it is no error', async () => {
    const ear = listen({
      take: () => {
        // An engine behind a worker may throw what came over the wire.
        // oxlint-disable-next-line typescript/only-throw-error
        throw 'no such word';
      },
    });
    await ear.segmenter.push(ONCE, RATE);
    expect(news(ear)).toEqual(['started 1000', 'refused: no such word']);
  });
});

describe('decoding ahead, at the first short silence', () => {
  const pieces = async (ear: Ear, sound: Float32Array): Promise<void> => {
    for (let at = 0; at < sound.length; at += 2 * FRAME)
      await ear.segmenter.push(sound.slice(at, at + 2 * FRAME), RATE);
  };

  it('has the answer ready at the end, and decodes the utterance no second time', async () => {
    const ear = listen({ decodeAhead: true });
    await pieces(ear, ONCE.slice(0, 172 * FRAME));
    expect(ear.asked).toEqual(['grammar cues', 'decode 750+950 by cues']);
    expect(news(ear)).toEqual(['started 1000']);
    await pieces(ear, ONCE.slice(172 * FRAME));
    expect(ear.asked).toHaveLength(2);
    expect(news(ear)).toEqual(['started 1000', 'heard cues 750 until 1700']);
  });

  it('waits for the end when it was not asked to', async () => {
    const ear = listen();
    await pieces(ear, ONCE.slice(0, 188 * FRAME));
    expect(ear.asked).toEqual([]);
  });

  it('decodes again what went on after the silence, and what another ruleset is for by then', async () => {
    const ear = listen({ decodeAhead: true });
    const goesOn = stepped([BEFORE, SPOKEN, [25, 0], [20, 12], AFTER]);
    await pieces(ear, goesOn);
    expect(ear.asked.filter((line) => line.startsWith('decode'))).toEqual([
      'decode 750+950 by cues',
      'decode 750+1400 by cues',
    ]);
    expect(news(ear).at(-1)).toBe('heard cues 750 until 2150');

    const changed = listen({ decodeAhead: true });
    await pieces(changed, ONCE.slice(0, 172 * FRAME));
    changed.segmenter.listenFor(rules('readings'));
    await pieces(changed, ONCE.slice(172 * FRAME));
    expect(news(changed)).toEqual(['started 1000', 'heard readings 750 until 1700']);
  });

  it('never takes the sound of one utterance for another', async () => {
    const ear = listen({ decodeAhead: true });
    await pieces(ear, joined(TWICE, ONCE));
    expect(ear.asked.filter((line) => line.startsWith('decode'))).toEqual([
      'decode 750+950 by cues',
      'decode 2850+950 by cues',
      'decode 4950+950 by cues',
    ]);
    const [first, second] = ear.sounds;
    expect(first).toHaveLength(95 * FRAME);
    expect(second).toEqual(TWICE.slice(285 * FRAME, 380 * FRAME));
  });
});
