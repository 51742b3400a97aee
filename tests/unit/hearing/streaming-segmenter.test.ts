import { describe, expect, it } from 'vitest';
import { compile } from '../../../src/grammar/compile.ts';
import type { Ruleset } from '../../../src/grammar/ruleset.ts';
import { createSegmenter } from '../../../src/hearing/segmenter.ts';
import type { Heard, HearingStream, Recogniser } from '../../../src/hearing/port.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { stepped, type Stretch } from './steps.ts';

const RATE = 16_000;
const grammar = loadGrammar();
const HOLD = compile(grammar, ['hold', 'settled'], 'psi');
const CUES = compile(grammar, ['cues'], 'psi');
/** How far what an engine tells is behind the sound, in ms: more than our own model, which looks 0.27 s ahead. */
const BEHIND = 450;

const OPERATOR_DB = -20;
const NOISE_DB = -40;

/** A word, when it is said, in ms, and how loud, in dB; as loud as the operator when absent. */
type Spoken = readonly [word: string, start: number, end: number, level?: number];

/** 300 ms a word from `start` on, without pauses. */
function said(text: string, start: number): Spoken[] {
  return text.split(' ').map((word, index) => [word, start + 300 * index, start + 300 * (index + 1)]);
}

interface Told {
  readonly heard: string[];
  /** Ms of sound from the end of the last word until it was told. */
  readonly after: number[];
  readonly streams: { readonly ruleset: string; readonly from: number }[];
  /** Ms of sound that the engine was given, twice what it was given twice. */
  worked: number;
  /** Ms of sound before now that are wanted should it have to begin again, each 100 ms. */
  readonly wanted: number[];
  readonly confidence: number[];
  /** Sounds that it was asked about by themselves, in ms, and by which rules. */
  readonly alone: { readonly ruleset: string; readonly from: number; readonly to: number }[];
}

interface Script {
  /** Sound in 10 ms frames; even noise without any pause when absent. */
  readonly sound?: readonly Stretch[];
  readonly ruleset?: Ruleset;
  /** Called each 100 ms. */
  readonly clock?: (now: number, listenFor: (ruleset: Ruleset) => void) => void;
  /** The engine's worker dies once, at this many ms. */
  readonly dies?: number;
  /** What the engine understands of a sound by itself, with full confidence, the first time or after so many others; other speech when absent. */
  readonly alone?: string;
  readonly aloneAfter?: number;
  /** Where its words end; with the sound when absent. */
  readonly aloneEnds?: number;
  /** What a word is for it that is under way when it is made to tell; what it will be when absent. */
  readonly underWay?: 'other speech' | 'silence';
}

/** Lets a segmenter hear an engine that understands these words when they are said, late as a real one does. */
async function hears(
  words: readonly Spoken[],
  { sound, ruleset = HOLD, clock, dies, alone, aloneAfter = 0, aloneEnds, underWay }: Script = {},
): Promise<Told> {
  const told: Told = { heard: [], after: [], streams: [], worked: 0, wanted: [], confidence: [], alone: [] };
  let rules = '';
  let now = 0;
  let alive = dies === undefined;
  const listen: NonNullable<Recogniser['listen']> = ({ id }, startSample) => {
    told.streams.push({ ruleset: id, from: (startSample * 1000) / RATE });
    const from = (startSample * 1000) / RATE;
    let fed = from;
    // A word is understood from its first sounds on, and its end moves on with it.
    const understood = (until: number) =>
      words
        .filter(([, start]) => start >= from - 1 && start + 100 <= until)
        .map(([text, start, end]) => ({ text, start, end: Math.min(end, until), confidence: 1 }));
    return Promise.resolve({
      accept(samples) {
        fed += (samples.length * 1000) / RATE;
        told.worked += (samples.length * 1000) / RATE;
        if (!alive && fed >= (dies ?? 0)) {
          alive = true;
          return Promise.reject(new Error('the worker is gone'));
        }
        const text = understood(fed - BEHIND)
          .map((word) => word.text)
          .join(' ');
        return Promise.resolve({ text, ended: false });
      },
      final() {
        const isOver = (word: { readonly end: number }) => words.some(([, , end]) => end === word.end);
        const found = understood(fed).flatMap((word) =>
          underWay === undefined || isOver(word) ? [word] : underWay === 'silence' ? [] : [{ ...word, text: '[unk]' }],
        );
        return Promise.resolve({
          words: found,
          level: (begin, end) => {
            const within = words.filter(([, first, last]) => first < end && last > begin);
            return within.length === 0 ? NOISE_DB : Math.max(...within.map(([, , , level]) => level ?? OPERATOR_DB));
          },
          utterance(places) {
            const words = places.flatMap((at) => found[at] ?? []);
            // Other speech rejects all of it.
            const rejected = words.some((word) => word.text === '[unk]');
            const heard = {
              text: words.map(({ text }) => text).join(' '),
              words: rejected ? [] : words,
              rejected,
              confidence: 1,
            };
            const span = { start: words[0]?.start ?? fed, end: words.at(-1)?.end ?? fed };
            return { ...heard, ...span, clip: new Float32Array(0) } as unknown as Heard;
          },
        });
      },
      close: () => undefined,
    } satisfies HearingStream);
  };
  const recognise = (samples: Float32Array, startSample: number): Promise<Partial<Heard>> => {
    const from = (startSample * 1000) / RATE;
    told.alone.push({ ruleset: rules, from, to: from + (samples.length * 1000) / RATE });
    const span = { start: from, end: aloneEnds ?? now };
    const words = (alone ?? '').split(' ').map((text) => ({ text, ...span, confidence: 1 }));
    return Promise.resolve(
      alone === undefined || told.alone.length <= aloneAfter
        ? { text: '', words: [], rejected: true, confidence: 1, ...span }
        : { text: alone, words, rejected: false, confidence: 1, ...span },
    );
  };
  const setGrammar = ({ id }: Ruleset): Promise<void> => {
    rules = id;
    return Promise.resolve();
  };
  const segmenter = createSegmenter(
    { id: 'vosk', listen, setGrammar, recognise } as unknown as Recogniser,
    { firstSample: 0, heardUntil: 0, clockUntil: 0, decodeAhead: false },
    {
      started: () => undefined,
      heard: (heard) => {
        told.heard.push(heard.text);
        told.confidence.push(heard.confidence);
        told.after.push(now - heard.end);
        return Promise.resolve();
      },
      clock: (at, _, needed) => {
        now = at;
        told.wanted.push(at - (needed * 1000) / RATE);
        clock?.(at, (rules) => segmenter.listenFor(rules));
        return Promise.resolve();
      },
      refused: (reason) => {
        throw new Error(reason);
      },
    },
  );
  segmenter.listenFor(ruleset);
  const last = words.at(-1)?.[2] ?? 0;
  await segmenter.push(stepped(sound ?? [[(last + 3000) / 10, 0]]), RATE);
  return told;
}

describe('hearing without cuts', () => {
  it('tells a complete callout although the noise never stops', async () => {
    const { heard, after } = await hears(said('primary one two five secondary one two four', 2000));
    expect(heard).toEqual(['primary one two five secondary one two four']);
    expect(after[0]).toBeLessThanOrEqual(250 + BEHIND + 100);
  });

  it('waits for the second needle up to 900 ms, and no longer', async () => {
    const first = said('primary one two five', 1000);
    const end = 2200;
    const together = await hears([...first, ...said('secondary one two four', end + 700)]);
    expect(together.heard).toEqual(['primary one two five secondary one two four']);
    const apart = await hears([...first, ...said('secondary one two four', end + 2000)]);
    expect(apart.heard).toEqual(['primary one two five', 'secondary one two four']);
    expect(apart.after[0]).toBeGreaterThanOrEqual(900 - 100);
  });

  it('does not take a number for complete that goes on after a breath', async () => {
    const { heard } = await hears([...said('both at one twenty', 1000), ...said('five', 2200 + 350)]);
    expect(heard).toEqual(['both at one twenty five']);
  });

  it('tells at the pause where speech stood clear of the noise', async () => {
    const words = said('settled', 1500);
    const clear: Stretch[] = [
      [150, 0],
      [30, 30],
      [200, 0],
    ];
    const { heard, after } = await hears(words, { sound: clear });
    expect(heard).toEqual(['settled']);
    expect(after[0]).toBeLessThanOrEqual(350);
  });

  it('tells soon after a lull where speech stood out of the noise at all', async () => {
    const lull: Stretch[] = [
      [150, 0],
      [30, 18],
      [200, 0],
    ];
    const { heard, after } = await hears(said('settled', 1500), { sound: lull });
    expect(heard).toEqual(['settled']);
    expect(after[0]).toBeLessThanOrEqual(400);
  });

  it('does not take a lull for silence: a word may go on in the noise', async () => {
    const lull: Stretch[] = [
      [100, 0],
      [120, 18],
      [500, 0],
    ];
    const { heard } = await hears(said('both at one hundred and twenty five', 1000), { sound: lull });
    expect(heard).toEqual(['both at one hundred and twenty five']);
  });

  it.each(['other speech', 'silence'] as const)(
    'does not part the needles by the beginning of the second, be it %s to the engine',
    async (underWay) => {
      const second: Spoken[] = [['secondary', 2200 + 840, 3740], ...said('one two four', 3740)];
      const { heard } = await hears([...said('primary one two five', 1000), ...second], { underWay });
      expect(heard).toEqual(['primary one two five secondary one two four']);
    },
  );

  it('tells of other speech that does not end after 15 s', async () => {
    const words = said(Array<string>(60).fill('[unk]').join(' '), 1000);
    const { heard } = await hears(words);
    expect(heard.length).toBeGreaterThan(1);
    expect(heard[0]?.split(' ').length).toBeGreaterThan(40);
  });

  it('hears again what it was made to tell too early, and loses nothing', async () => {
    const words = [...said('primary one two five', 1500), ...said('secondary one two four', 2700 + 500)];
    const sound: Stretch[] = [
      [150, 0],
      [120, 30],
      [50, 0],
      [120, 30],
      [200, 0],
    ];
    const { heard } = await hears(words, { sound });
    expect(heard).toEqual(['primary one two five secondary one two four']);
  });

  it('keeps a needle that was called when what comes within 900 ms of it is no second needle', async () => {
    const words = [...said('primary one two five', 1500), ...said('[unk] [unk] [unk] [unk]', 2700 + 600)];
    const sound: Stretch[] = [
      [150, 0],
      [120, 30],
      [60, 0],
      [120, 30],
      [400, 0],
    ];
    const { heard } = await hears(words, { sound });
    expect(heard).toEqual(['primary one two five', '[unk] [unk] [unk] [unk]']);
  });

  it('hears what is being said by a ruleset that comes in the middle of it', async () => {
    const { heard, streams } = await hears(said('brakes released', 2000), {
      ruleset: HOLD,
      clock: (now, listenFor) => {
        if (now === 2600) listenFor(CUES);
      },
    });
    expect(heard).toEqual(['brakes released']);
    expect(streams.find(({ ruleset }) => ruleset === CUES.id)?.from).toBeLessThanOrEqual(2000);
  });

  it('hears again, once, what an engine heard that died', async () => {
    const { heard } = await hears(said('primary one two five secondary one two four', 2000), { dies: 3600 });
    expect(heard).toEqual(['primary one two five secondary one two four']);
  });

  it('wants the last four seconds of sound should it have to begin again, and no more where nothing is said', async () => {
    const { wanted } = await hears([], { sound: [[800, 0]] });
    expect(wanted.slice(0, 40)).toEqual(Array.from({ length: 40 }, (_, nth) => 100 * (nth + 1)));
    expect(new Set(wanted.slice(40))).toEqual(new Set([4000]));
  });

  it('hears one callout after another by the rules that the one before led to', async () => {
    const { heard } = await hears([...said('settled', 1000), ...said('settled', 2200), ...said('settled', 3400)]);
    expect(heard).toEqual(['settled', 'settled', 'settled']);
  });

  it('lets the engine rest in a silent place, and loses no word to it', async () => {
    const long = 2000;
    const words = [...said('settled', 20_000), ...said('settled', 40_300)];
    const sound: Stretch[] = [
      [long, -10],
      [30, 20],
      [long, -10],
      [30, 4],
      [200, -10],
    ];
    const { heard, after, worked } = await hears(words, { sound });
    expect(heard).toEqual(['settled', 'settled']);
    for (const late of after) expect(late).toBeLessThanOrEqual(250 + BEHIND + 100);
    expect(worked).toBeLessThan(15_000);
  });

  it('does not hear long other speech over again at each breath in it, and the callout after it at once', async () => {
    const sentence = 'and then we went back to the old'.split(' ').length;
    const words = Array.from({ length: 5 }, (_, nth) =>
      said(Array<string>(sentence).fill('[unk]').join(' '), 1500 + 2700 * nth),
    ).flat();
    const sound: Stretch[] = [
      [150, 0],
      ...Array.from({ length: 5 }, (): Stretch[] => [
        [240, 30],
        [30, 0],
      ]).flat(),
    ];
    const over = 1500 + 5 * 2700;
    const { heard, after, worked } = await hears([...words, ...said('settled', over + 1000)], {
      sound: [...sound, [100, 0], [30, 30], [200, 0]],
    });
    expect(heard.at(-1)).toBe('settled');
    expect(after.at(-1)).toBeLessThanOrEqual(350);
    expect(worked).toBeLessThan(2 * (over + 3300));
  });

  it('hears two callouts that came before the first was over, each as what it is', async () => {
    const { heard } = await hears([...said('skip', 1000), ...said('settled', 1500)]);
    expect(heard).toEqual(['skip', 'settled']);
  });

  it('does not let it rest over noise, out of which a word may not stand', async () => {
    const { heard } = await hears(said('settled', 20_000), { sound: [[2300, 0]] });
    expect(heard).toEqual(['settled']);
  });

  describe('of what was understood as other speech', () => {
    const MUMBLED: readonly Spoken[] = [...said('[unk] settled', 2000)];

    it('asks about its sound alone, 300 ms around it, by the same rules, and is never sure of it', async () => {
      const { heard, confidence, alone } = await hears(MUMBLED, { alone: 'settled' });
      expect(heard).toEqual(['settled']);
      expect(confidence).toEqual([0.6]);
      expect(alone).toEqual([{ ruleset: HOLD.id, from: 1700, to: 2900 }]);
    });

    it('asks about it, too, where it began sooner after the words before it', async () => {
      const before = said('settled', 1000);
      const { heard, alone } = await hears([...before, ...said('[unk] settled', 1600)], { alone: 'settled' });
      expect(heard).toEqual(['settled', 'settled']);
      expect(alone).toEqual([{ ruleset: HOLD.id, from: 1420, to: 2500 }]);
    });

    it('doubts what leaves more than 300 ms of it: a softer “not quite” after “settled”', async () => {
      const { heard, confidence } = await hears(MUMBLED, { alone: 'settled', aloneEnds: 2290 });
      expect(heard).toEqual(['settled']);
      expect(confidence).toEqual([0.5]);
      expect((await hears(MUMBLED, { alone: 'settled', aloneEnds: 2310 })).confidence).toEqual([0.6]);
    });

    it('asks about its loudest words where all of it is no callout, and doubts what they are', async () => {
      const words: readonly Spoken[] = [
        ['[unk]', 2000, 2300, -30],
        ['[unk]', 2300, 2600],
        ['[unk]', 2600, 2900, -30],
      ];
      const { heard, confidence, alone } = await hears(words, { alone: 'settled', aloneAfter: 1 });
      expect(heard).toEqual(['settled']);
      expect(confidence).toEqual([0.5]);
      expect(alone.map(({ from, to }) => [from, to])).toEqual([
        [1700, 3200],
        [2000, 2900],
      ]);
    });

    it('leaves it other speech when its sound alone is no callout either', async () => {
      const { heard, alone } = await hears(MUMBLED, { alone: 'settled primary' });
      expect(alone).toHaveLength(1);
      expect(heard).toEqual(['[unk] settled']);
    });

    it('asks about up to 8 s of sound, and not about more', async () => {
      const mumbled = (words: number): readonly Spoken[] => said(Array(words).fill('[unk]').join(' '), 2000);
      expect((await hears(mumbled(24), { alone: 'settled' })).heard).toEqual(['settled']);
      expect((await hears(mumbled(25), { alone: 'settled' })).alone).toEqual([]);
    });
  });

  it('tells nothing where nothing is said', async () => {
    expect((await hears([], { sound: [[1000, 0]] })).heard).toEqual([]);
  });

  it('tells less soon where the sound goes on, in which a softer word may be under way', async () => {
    const words: readonly Spoken[] = [...said('settled', 2000), ['[unk]', 2400, 2880]];
    const goingOn = await hears(words, {
      sound: [
        [200, 0],
        [80, 20],
        [200, 0],
      ],
      underWay: 'silence',
    });
    expect(goingOn.heard).not.toContain('settled');
    const { heard, after } = await hears(said('settled', 2000), { underWay: 'silence' });
    expect(heard).toEqual(['settled']);
    expect(after[0]).toBeLessThanOrEqual(250 + BEHIND - 100);
  });

  describe('over a radio that goes on and on', () => {
    const RADIO_DB = -30;
    const CALLOUT = 'primary one two five secondary one two four';
    const BEGINS = 9000;
    const ENDS = BEGINS + 8 * 300;
    const radio = (from: number, to: number, level = RADIO_DB, word = '[unk]'): readonly Spoken[] =>
      Array.from({ length: (to - from) / 300 }, (_, n) => [word, from + 300 * n, from + 300 * (n + 1), level]);

    it('hears what is said before it, and tells it while the radio goes on', async () => {
      const words = [...radio(3000, BEGINS - 300), ...said(CALLOUT, BEGINS), ...radio(ENDS + 300, ENDS + 6300)];
      const { heard, confidence, after } = await hears(words);
      expect(heard[0]).toBe(CALLOUT);
      expect(confidence[0]).toBe(1);
      expect(after[0]).toBeLessThanOrEqual(400 + BEHIND + 200);
    });

    it('is not sure where one of its words is as faint as the radio', async () => {
      const [first, ...rest] = said(CALLOUT, BEGINS).toReversed();
      const faint: Spoken = [...(first?.slice(0, 3) as [string, number, number]), RADIO_DB];
      const words = [...radio(3000, BEGINS - 300), ...rest.reverse(), faint, ...radio(ENDS + 300, ENDS + 6300)];
      const { heard, confidence } = await hears(words);
      expect(heard[0]).toBe(CALLOUT);
      expect(confidence[0]).toBe(0.5);
    });

    it('is not sure where the radio leaves no silence, as it might be the operator who goes on more softly', async () => {
      const words = [...radio(3000, BEGINS), ...said(CALLOUT, BEGINS), ...radio(ENDS, ENDS + 6000)];
      const { heard, confidence } = await hears(words);
      expect(heard[0]).toBe(CALLOUT);
      expect(confidence[0]).toBe(0.5);
    });

    it('takes nothing out of one voice that says more than a callout', async () => {
      const words = [...radio(3000, BEGINS, -22), ...said(CALLOUT, BEGINS), ...radio(ENDS, ENDS + 6000, -22)];
      const { heard } = await hears(words);
      expect(heard).not.toContain(CALLOUT);
    });

    it('asks once about each word of the radio that could be a callout, and not for as long as it goes on', async () => {
      const words = [
        ...radio(3000, BEGINS),
        ...radio(BEGINS, BEGINS + 300, RADIO_DB, 'settled'),
        ...radio(BEGINS + 300, 18_000),
      ];
      const { heard, streams } = await hears(words);
      expect(heard).not.toContain('settled');
      expect(streams.filter(({ from }) => from > 0).length).toBeLessThanOrEqual(4);
    });
  });
});
