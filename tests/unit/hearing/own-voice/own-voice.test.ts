import { describe, expect, it } from 'vitest';
import { sweepSound, tone, TONE_NAMES, toneSound, type ToneName } from '../../../../src/answering/tones.ts';
import { TOOL_VOICE, type FliteVoice } from '../../../../src/answering/flite.ts';
import { cachedFlite } from '../../../../src/cli/assets/cached-flite.ts';
import { createOwnVoice } from '../../../../src/hearing/own-voice/own-voice.ts';
import { findDelay } from '../../../../src/hearing/own-voice/find-delay.ts';
import { solveToeplitz } from '../../../../src/hearing/own-voice/toeplitz.ts';
import type { Played } from '../../../../src/units/played.ts';
import { createResampler } from '../../../../src/hearing/resampler.ts';
import { msToSamples, SAMPLE_RATE, samplesToMs } from '../../../../src/units/time.ts';
import { joined, noiseSource, silence, syllable } from '../signals.ts';

/** Syllables of several lengths, half buzz and half rush: as broad as speech, and nowhere alike. */
function speech(ms: number, amplitude: number, seed: number): Float32Array {
  const random = noiseSource(seed);
  const parts: Float32Array[] = [];
  for (let made = 0; made < ms;) {
    const length = 160 + Math.round(70 * random());
    let rush = 0;
    parts.push(
      syllable(length, amplitude).map((buzz, n) => {
        rush += 0.5 * (random() - rush);
        return 0.4 * buzz + 1.5 * amplitude * rush * Math.sin((Math.PI * n) / msToSamples(length));
      }),
      silence(50),
    );
    made += length + 50;
  }
  return joined(...parts).subarray(0, msToSamples(ms));
}

const TOOL = speech(2_500, 0.08, 5);
const OPERATOR = speech(1_000, 0.25, 6);
/** Echo of the first answer is learned, that of the second is what counts. */
const ANSWERS = [1_000, 5_000] as const;

interface Scene {
  /** Of the echo, beside what is played; none when 0. */
  readonly gain: number;
  readonly delay: number;
  /** Of the second answer, where the clocks of loudspeaker and microphone have moved since; the same when absent. */
  readonly delayThen?: number;
  /** When the operator speaks, ms. */
  readonly operator?: readonly number[];
  readonly headset?: boolean;
  readonly played?: Float32Array;
}

/** What comes of nine seconds, in chunks of 20 ms. */
function scene({ gain, delay, delayThen = delay, operator = [], headset = false, played = TOOL }: Scene) {
  const random = noiseSource(9);
  const heard = Float32Array.from({ length: 9 * SAMPLE_RATE }, () => 0.001 * random());
  const add = (sound: Float32Array, ms: number, factor: number): void => {
    sound.forEach((sample, n) => (heard[msToSamples(ms) + n] = (heard[msToSamples(ms) + n] ?? 0) + factor * sample));
  };
  for (const [from, late] of [
    [ANSWERS[0], delay],
    [ANSWERS[1], delayThen],
  ] as const) {
    add(played, from + late, gain);
    // The first reflection.
    add(played, from + late + 7, gain / 3);
  }
  for (const from of operator) add(OPERATOR, from, 1);
  const passed: Float32Array[] = [];
  const told: { readonly what: 'speaks' | 'silent'; readonly from: number; readonly when: number }[] = [];
  /** How much is held back after each chunk, ms. */
  const behind: number[] = [];
  let at = 0;
  let done = 0;
  const own = createOwnVoice(
    {
      sound: (samples) => {
        passed.push(samples);
        done += samples.length;
      },
      speaks: (from) => told.push({ what: 'speaks', from: samplesToMs(from), when: samplesToMs(at) }),
      silent: () => told.push({ what: 'silent', from: 0, when: samplesToMs(at) }),
    },
    () => headset,
  );
  for (; at < heard.length; at += msToSamples(20)) {
    if (ANSWERS.some((from) => msToSamples(from) === at)) own.plays({ samples: played, rate: SAMPLE_RATE }, at);
    own.push(heard.subarray(at, at + msToSamples(20)));
    behind.push(samplesToMs(at + msToSamples(20) - done));
  }
  const out = joined(...passed);
  const db = (sound: Float32Array): number =>
    10 * Math.log10(sound.reduce((sum, sample) => sum + sample * sample, 1e-12) / sound.length);
  const level = (sound: Float32Array, from: number, to: number): number =>
    db(sound.subarray(msToSamples(from), msToSamples(to)));
  return {
    own,
    told,
    onsets: told.filter(({ what }) => what === 'speaks'),
    passed: out.length,
    behind: (from: number, to: number) => Math.max(...behind.slice(from / 20, to / 20)),
    all: heard.length,
    heardLevel: (from: number, to: number) => level(heard, from, to),
    level: (from: number, to: number) => level(out, from, to),
  };
}

const shares = (own: ReturnType<typeof scene>['own'], from: number, to: number) =>
  own.whose(msToSamples(from), msToSamples(to));

describe('the tool’s own voice in the microphone', () => {
  it.each([
    [20, 20],
    [60, 105],
    [250, 222],
    [550, 558],
  ])(
    'is taken out when it comes back after %d ms, and then after %d, and never counts as somebody',
    (delay, delayThen) => {
      const { onsets, level, heardLevel, own, behind } = scene({ gain: 0.5, delay, delayThen });
      const [from, to] = [5_100 + delayThen, 7_300 + delayThen];
      expect(onsets).toEqual([]);
      expect(level(from, to)).toBeLessThan(heardLevel(from, to) - 20);
      expect(shares(own, from, to).operator).toBe(0);
      // Where the way of it is known, the end of a callout need not wait for an echo that cannot have come yet.
      expect(behind(4_200, 4_900 + Math.max(100, delay))).toBeLessThanOrEqual(20);
    },
  );

  it.each([-28, 62])(
    'is taken out of vowels, too, when it comes back %d ms later than the last time',
    async (later) => {
      const { samples, rate } = await cachedFlite().speak('both one two two', 'slt');
      expect(rate).toBe(SAMPLE_RATE);
      expect(scene({ gain: 0.3, delay: 250, delayThen: 250 + later, played: samples }).onsets).toEqual([]);
    },
  );

  it('leaves what the operator says over it, which is known for theirs within 200 ms', () => {
    const { onsets, own, level } = scene({ gain: 0.5, delay: 60, operator: [2_200, 6_000] });
    expect(onsets.map(({ from }) => Math.abs(from - (from < 4_000 ? 2_200 : 6_000)) <= 60)).toEqual([true, true]);
    for (const [nth, begun] of [2_200, 6_000].entries())
      expect((onsets[nth]?.when ?? 0) - begun).toBeLessThanOrEqual(200);
    expect(shares(own, 6_030, 6_950).operator).toBeGreaterThan(0.95);
    const alone = scene({ gain: 0, delay: 60, operator: [6_000] });
    expect(Math.abs(level(6_020, 6_950) - alone.level(6_020, 6_950))).toBeLessThan(1);
  });

  it.each([20, 60, 100, 140])(
    'that has a long way does not hide for 300 ms that the operator began %d ms after it',
    (later) => {
      const begun = ANSWERS[1] + later;
      const { onsets, own } = scene({ gain: 0.5, delay: 250, operator: [begun] });
      expect(onsets.map(({ from }) => Math.abs(from - begun) <= 60)).toEqual([true]);
      expect((onsets[0]?.when ?? 0) - begun).toBeLessThanOrEqual(200);
      expect(shares(own, begun + 30, begun + 950).own).toBeLessThan(0.1);
    },
  );

  it('is not looked for with a headset, and what the operator says is passed on at once', () => {
    const { onsets, passed, all, own } = scene({ gain: 0, delay: 0, operator: [6_000], headset: true });
    expect(passed).toBe(all);
    expect(onsets).toHaveLength(1);
    expect(shares(own, 6_000, 7_000)).toMatchObject({ own: 0, unknown: 0 });
  });

  it('hides nobody where it is too soft to be found: from its third answer on the operator is known for one at once', () => {
    const random = noiseSource(9);
    const heard = Float32Array.from({ length: 12 * SAMPLE_RATE }, () => 0.001 * random());
    OPERATOR.forEach((sample, n) => (heard[msToSamples(9_000) + n] = (heard[msToSamples(9_000) + n] ?? 0) + sample));
    const told: number[] = [];
    let at = 0;
    const own = createOwnVoice(
      { sound: () => undefined, speaks: () => told.push(samplesToMs(at)), silent: () => undefined },
      () => false,
    );
    for (; at < msToSamples(10_000); at += msToSamples(20)) {
      if ([1_000, 4_500, 8_500].some((from) => msToSamples(from) === at))
        own.plays({ samples: TOOL, rate: SAMPLE_RATE }, at);
      own.push(heard.subarray(at, at + msToSamples(20)));
    }
    expect(told.map((ms) => ms - 9_000 <= 200)).toEqual([true]);
    expect(shares(own, 9_030, 9_950).somebody).toBeGreaterThan(0.9);
  });

  it('passes on every sample once, in order, whatever is held back', () => {
    const { passed, all, own, told } = scene({ gain: 0.5, delay: 60, operator: [2_200] });
    expect(all - passed).toBeLessThanOrEqual(msToSamples(20));
    own.flush();
    expect(told.at(-1)?.what).toBe('silent');
  });

  it.each([-24, 25])('is found where it has moved by %d ms from that of the tones before it', async (later) => {
    const { samples, rate } = await cachedFlite().speak('wheels chocked nobody under or around the rig', 'slt');
    const pass = { ...toneSound(tone('pass')), tone: true } as const;
    const toneEnd = 5_000 + samplesToMs((pass.samples.length * SAMPLE_RATE) / pass.rate);
    const random = noiseSource(9);
    const heard = Float32Array.from({ length: 10 * SAMPLE_RATE }, () => 0.001 * random());
    const add = (sound: Float32Array, ms: number): void =>
      sound.forEach((sample, n) => (heard[msToSamples(ms) + n] = (heard[msToSamples(ms) + n] ?? 0) + 0.3 * sample));
    const resampled = createResampler(pass.rate);
    const toneHeard = joined(resampled.push(pass.samples), resampled.flush());
    const plays = new Map<number, Played>([
      [1_000, { samples, rate }],
      [5_000, pass],
      [Math.round(toneEnd / 20) * 20, { samples, rate }],
    ]);
    add(samples, 1_060);
    add(toneHeard, 5_060);
    add(samples, Math.round(toneEnd / 20) * 20 + 60 + later);
    const told: number[] = [];
    const own = createOwnVoice(
      { sound: () => undefined, speaks: (from) => told.push(samplesToMs(from)), silent: () => undefined },
      () => false,
    );
    for (let ms = 0; ms < 10_000; ms += 20) {
      const sound = plays.get(ms);
      if (sound !== undefined) own.plays(sound, msToSamples(ms));
      own.push(heard.subarray(msToSamples(ms), msToSamples(ms + 20)));
    }
    expect(told).toEqual([]);
    expect(shares(own, toneEnd + 300, toneEnd + 2_300).clear).toBeLessThan(0.1);
  });

  /** Who is told to speak where nobody does, in two answers, the first told too early by so much and put right after a second. */
  function alone(first: number, tellEarly: number): readonly number[] {
    const random = noiseSource(9);
    const heard = Float32Array.from({ length: 9 * SAMPLE_RATE }, (_, n) => (n < 2_400 ? 0 : 0.003 * random()));
    for (const from of [first, 5_000])
      TOOL.forEach((sample, n) => {
        const at = msToSamples(from + 250) + n;
        heard[at] = (heard[at] ?? 0) + 0.5 * sample;
      });
    const told: number[] = [];
    const own = createOwnVoice(
      { sound: () => undefined, speaks: (from) => told.push(samplesToMs(from)), silent: () => undefined },
      () => false,
    );
    for (let ms = 0; ms < 9_000; ms += 20) {
      const at = msToSamples(ms);
      if (ms === first) own.plays({ samples: TOOL, rate: SAMPLE_RATE }, at - msToSamples(tellEarly));
      if (ms === first + 1_000) own.wasLater(msToSamples(tellEarly));
      if (ms === 5_000) own.plays({ samples: TOOL, rate: SAMPLE_RATE }, at);
      own.push(heard.subarray(at, at + msToSamples(20)));
    }
    return told;
  }

  it('is waited for where it comes, though its first answer was told 150 ms too early', () => {
    expect(alone(1_000, 150)).toEqual([]);
  });

  it('is not taken for somebody over a noise that begins after the zeros of a device that is switched on', () => {
    expect(alone(60, 0)).toEqual([]);
  });

  /** What comes of a tone a second long after the answer from which the echo was learned, in a room that has gone on changing. */
  function tones(name: ToneName, operator: Float32Array, reflection: number) {
    const sound = { ...toneSound(tone(name)), tone: true } as const;
    const random = noiseSource(9);
    const heard = Float32Array.from({ length: 6 * SAMPLE_RATE }, () => 0.001 * random());
    const add = (each: Float32Array, ms: number, gain: number): void =>
      each.forEach((sample, n) => (heard[msToSamples(ms) + n] = (heard[msToSamples(ms) + n] ?? 0) + gain * sample));
    add(TOOL, 1_020, 0.4);
    add(TOOL, 1_027, 0.15);
    add(sound.samples, 4_020, 0.4);
    add(sound.samples, 4_020 + reflection, 0.3);
    add(operator, 4_000, 1);
    const passed: Float32Array[] = [];
    const told: number[] = [];
    const own = createOwnVoice(
      { sound: (samples) => passed.push(samples), speaks: (at) => told.push(at), silent: () => undefined },
      () => false,
    );
    for (let ms = 0; ms < 6_000; ms += 20) {
      if (ms === 1_000) own.plays({ samples: TOOL, rate: SAMPLE_RATE }, msToSamples(ms));
      if (ms === 4_000) own.plays(sound, msToSamples(ms));
      own.push(heard.subarray(msToSamples(ms), msToSamples(ms + 20)));
    }
    const end = 4_100 + samplesToMs(sound.samples.length);
    const level = (of: Float32Array, to: number): number => {
      const part = of.subarray(msToSamples(4_000), msToSamples(to));
      return 10 * Math.log10(part.reduce((sum, sample) => sum + sample * sample, 0) / part.length);
    };
    const out = joined(...passed);
    return {
      told,
      whose: shares(own, 4_000, end),
      heard: level(heard, end),
      level: level(out, end),
      voice: level(out, 5_000),
      out,
    };
  }

  it.each(TONE_NAMES)(
    'as the tone "%s" is taken out, also where the room has changed, and is nobody’s word',
    (name) => {
      for (const reflection of [7, 11, 23]) {
        const { told, whose, level, heard } = tones(name, new Float32Array(0), reflection);
        expect(told).toEqual([]);
        expect(whose.operator).toBe(0);
        // What is left are the moments in which a note comes and goes.
        expect(level).toBeLessThan(heard - 10);
      }
    },
  );

  it.each(TONE_NAMES)('as the tone "%s" takes nothing from what the operator says over it', (name) => {
    const { whose, told, voice } = tones(name, OPERATOR, 11);
    expect(told).toHaveLength(1);
    // As soon as no tone can be in it any more, it is a voice like any.
    expect(whose.operator + whose.somebody).toBeGreaterThan(0.9);
    const alone = 10 * Math.log10(OPERATOR.reduce((sum, x) => sum + x * x, 0) / OPERATOR.length);
    expect(Math.abs(voice - alone)).toBeLessThan(1);
  });

  it('as a tone leaves the first soft sounds of a word that begins in it', () => {
    const soft = OPERATOR.subarray(msToSamples(60), msToSamples(120)).map((sample) => 0.08 * sample);
    const { out } = tones('taken', joined(silence(60), soft, silence(20), OPERATOR), 11);
    const rms = (of: Float32Array): number => Math.sqrt(of.reduce((sum, x) => sum + x * x, 0) / of.length);
    expect(rms(out.subarray(msToSamples(4_060), msToSamples(4_120))) / rms(soft)).toBeGreaterThan(0.8);
  });

  /** Whose words were heard so long after the tool said these, by a voice, where it was thought that the tool is not heard. */
  async function afterwards(says: string, voice: FliteVoice, late: number, noise: number, pressed = false) {
    const tool = await cachedFlite().speak('needed engine off', TOOL_VOICE);
    const words = await cachedFlite().speak(says, voice);
    const random = noiseSource(9);
    const heard = Float32Array.from({ length: 8 * SAMPLE_RATE }, () => noise * random());
    const from = msToSamples(1_000 + late);
    words.samples.forEach((sample, n) => (heard[from + n] = (heard[from + n] ?? 0) + 0.3 * sample));
    let now = 0;
    const own = createOwnVoice(
      { sound: () => undefined, speaks: () => undefined, silent: () => undefined },
      () => !pressed,
      () => pressed && now < 1_200,
    );
    for (; now < 8_000; now += 20) {
      if (now === 1_000) own.plays(tool, msToSamples(now));
      own.push(heard.subarray(msToSamples(now), msToSamples(now + 20)));
    }
    const to = from + words.samples.length;
    return own.whose(from, to, heard.subarray(from - msToSamples(300), to + msToSamples(300)));
  }

  it.each([250, 900, 1_600, 2_500])(
    'may be anybody’s where it is heard against the settings, or later than any device is: after %d ms',
    async (late) => {
      for (const noise of [0.001, 0.02]) {
        expect((await afterwards('needed engine off', TOOL_VOICE, late, noise)).unknown).toBeGreaterThan(0.9);
        expect((await afterwards('needed engine off', TOOL_VOICE, late, noise, true)).unknown).toBeGreaterThan(0.9);
      }
    },
  );

  it.each(['rms', 'awb', 'kal16'] as const)(
    'is not what another voice says after it in the same words: %s',
    async (voice) => {
      for (const says of ['engine off', 'needed engine off', 'both one one eight'])
        for (const late of [250, 900, 1_600, 2_500])
          for (const noise of [0.001, 0.02]) expect((await afterwards(says, voice, late, noise)).unknown).toBe(0);
    },
  );

  it('teaches nothing where it is a tone', () => {
    const { own, onsets } = scene({ gain: 0, delay: 0 });
    own.plays({ ...toneSound(tone('pass')), tone: true }, 9 * SAMPLE_RATE);
    own.push(new Float32Array(SAMPLE_RATE));
    expect(onsets).toEqual([]);
  });

  it('of a system’s voice, of which nobody has the samples, is not known for what it is', () => {
    const told: number[] = [];
    const own = createOwnVoice(
      { sound: () => undefined, speaks: (at) => told.push(at), silent: () => undefined },
      () => false,
    );
    own.push(new Float32Array(SAMPLE_RATE));
    own.plays(undefined, SAMPLE_RATE);
    own.push(TOOL);
    expect(own.whose(SAMPLE_RATE, 2 * SAMPLE_RATE).unknown).toBeCloseTo(1);
    own.stops(SAMPLE_RATE + TOOL.length);
    own.push(new Float32Array(2 * SAMPLE_RATE));
    own.push(OPERATOR);
    expect(told).toHaveLength(1);
  });
});

describe('the delay of an echo', () => {
  it('is found to the sample, from a third of a second of the sweep, under three times as much noise', () => {
    const { samples } = sweepSound();
    const random = noiseSource(4);
    const played = joined(new Float32Array(8_000), samples, new Float32Array(8_000));
    const heard = Float32Array.from(
      { length: 14_000 },
      (_, n) => 0.1 * (played[8_000 + n - 1_234] ?? 0) + 0.04 * random(),
    );
    expect(findDelay(heard, played, { least: 0, most: 8_000, standsOut: 6 })).toBe(1_234);
  });

  it('is none where nothing comes back', () => {
    const random = noiseSource(4);
    const heard = Float32Array.from({ length: 14_000 }, () => 0.1 * random());
    const played = joined(new Float32Array(8_000), sweepSound().samples, new Float32Array(8_000));
    expect(findDelay(heard, played, { least: 0, most: 8_000, standsOut: 6 })).toBeUndefined();
  });
});

describe('equations with a Toeplitz matrix', () => {
  it('are solved: the product with the solution is the right side', () => {
    const r = Float64Array.from([4, 2, 1, 0.5, 0.1]);
    const b = Float64Array.from([1, -2, 3, 0, 5]);
    const x = solveToeplitz(r, b);
    const product = b.map((_, i) => x?.reduce((sum, value, j) => sum + (r[Math.abs(i - j)] ?? 0) * value, 0) ?? NaN);
    product.forEach((value, i) => expect(value).toBeCloseTo(b[i] ?? 0, 9));
  });

  it('are not solved where they are none of an autocorrelation, or too near to it: the path would come out loud and wrong', () => {
    const b = Float64Array.from([1, 0, 0]);
    // The determinants are -0.62 and, with 0.001 of the power in what cannot be foretold, next to nothing.
    expect(solveToeplitz(Float64Array.from([1, 0.9, -0.3]), b)).toBeUndefined();
    expect(solveToeplitz(Float64Array.from([1, 0.9995, 0.998]), b, 0.001)).toBeUndefined();
    expect(solveToeplitz(Float64Array.from([1, 0.9, 0.8]), b, 0.001)).toBeDefined();
  });
});
