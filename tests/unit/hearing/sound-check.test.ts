import { describe, expect, it } from 'vitest';
import { mixTrack } from '../../../src/cli/operator/operator-sound.ts';
import { adviceOf } from '../../../src/hearing/sound-check/advice.ts';
import { createSoundCheck } from '../../../src/hearing/sound-check/course.ts';
import { CutOffCount } from '../../../src/hearing/sound-check/cut-off.ts';
import { levelOf, type SoundFigures } from '../../../src/hearing/sound-check/figures.ts';
import { microphonesIn } from '../../../src/hearing/microphone-list.ts';
import { createResampler } from '../../../src/hearing/resampler.ts';
import { TRIAL_PHRASE } from '../../../src/running/trial-phrase.ts';
import { noiseSource, samplesOf, silence } from './signals.ts';
import { speak } from './voice.ts';

const RATE = 16_000;

function sine(amplitude: number, hz: number, rate: number): Float32Array {
  return Float32Array.from({ length: rate }, (_, n) => amplitude * Math.sin((2 * Math.PI * hz * n) / rate));
}

/** What is measured of a device that gives this. */
function measured(sound: Float32Array, rate = RATE): SoundFigures {
  const course = createSoundCheck();
  for (let at = 0; at < sound.length; at += 1000) course.push(sound.subarray(at, at + 1000), rate);
  const { figures } = course.view;
  if (figures === undefined) throw new Error(`the sound check stands at ${course.view.stage}`);
  return figures;
}

/** A cab in which the phrase is said once it was asked for, at -22 dBFS over this diesel or over a floor alone. */
async function said(noise: { readonly floorDb: number; readonly dieselSnrDb?: number }): Promise<Float32Array> {
  const samples = await speak(TRIAL_PHRASE, 'rms');
  return mixTrack([{ at: 2300, samples }], 2300 + samples.length / 16 + 1500, { ...noise, seed: 4 });
}

/** The sound as a device of `rate` has it that is half of the sound's own. */
function halved(sound: Float32Array): Float32Array {
  const half = createResampler(2 * RATE);
  return Float32Array.from([...half.push(sound), ...half.flush()]);
}

describe('a level', () => {
  it('of a sine of amplitude a is 20 log a - 3.01 dB (its RMS is a / sqrt 2), and that of silence is the least', () => {
    expect(levelOf(sine(1, 1000, RATE))).toBeCloseTo(-3.01, 2);
    expect(levelOf(sine(0.1, 440, RATE))).toBeCloseTo(-23.01, 2);
    expect(levelOf(silence(100))).toBe(-100);
  });
});

describe('sound that is cut off', () => {
  it('is the share of a clipped sine that is at its limit: above 1 of an amplitude of 2 for two thirds of the time', () => {
    const count = new CutOffCount();
    // |2 sin x| >= 1 where sin x >= 1/2: from 30 to 150 degrees of each half.
    count.push(sine(2, 100, 48_000).map((sample) => Math.max(-1, Math.min(1, sample))));
    expect(count.share).toBeCloseTo(2 / 3, 2);
  });

  it('is none of a sine that just reaches full scale', () => {
    const count = new CutOffCount();
    count.push(sine(1, 1000, 48_000));
    expect(count.share).toBe(0);
  });
});

describe('the sound check', () => {
  it.each([
    [20, []],
    [12.5, ['noisy']],
    [5, ['drowned']],
  ])(
    'measures speech over a diesel %d dB below it, within 1 dB, and says how it is lost',
    async (dieselSnrDb, lost) => {
      const figures = measured(await said({ floorDb: -60, dieselSnrDb }));
      expect(Math.abs((figures.phrase?.snr ?? NaN) - dieselSnrDb)).toBeLessThan(1);
      expect(adviceOf(figures).map(({ is }) => is)).toEqual(lost);
    },
  );

  it('finds nothing to do in a quiet cab, and measures its noise and the voice', async () => {
    const figures = measured(await said({ floorDb: -60 }));
    expect(figures.floor).toBeCloseTo(-60, 0);
    expect(figures.phrase?.level).toBeGreaterThan(-23.5);
    expect(figures.phrase?.level).toBeLessThan(-20.5);
    expect(adviceOf(figures)).toEqual([]);
  });

  it('waits until a word is over that is said into the quiet, and does not take it for noise', async () => {
    const word = await speak('good morning', 'rms');
    const samples = await speak(TRIAL_PHRASE, 'rms');
    const clips = [
      { at: 1200, samples: word },
      { at: 4500, samples },
    ];
    const figures = measured(mixTrack(clips, 10_500, { floorDb: -60, seed: 4 }));
    expect(figures.floor).toBeCloseTo(-60, 0);
    expect(adviceOf(figures)).toEqual([]);
  });

  it('tells a microphone that clips', async () => {
    const loud = (await said({ floorDb: -60 })).map((sample) => Math.max(-1, Math.min(1, 30 * sample)));
    expect(adviceOf(measured(loud)).map(({ is }) => is)).toEqual(['clips']);
  });

  it('tells one that is too faint', async () => {
    const faint = (await said({ floorDb: -60 })).map((sample) => sample / 60);
    expect(adviceOf(measured(faint)).map(({ is }) => is)).toContain('faint');
  });

  it('tells one that gives silence, and one into which nobody speaks, in quiet and in noise', () => {
    const random = noiseSource(3);
    const hum = (amplitude: number): Float32Array =>
      Float32Array.from({ length: samplesOf(15_000) }, () => amplitude * random());
    expect(adviceOf(measured(silence(5_000)))).toEqual([{ is: 'silent' }]);
    expect(adviceOf(measured(hum(0.001)))).toMatchObject([{ is: 'unheard', quiet: true }]);
    expect(adviceOf(measured(hum(0.05)))).toMatchObject([{ is: 'unheard', quiet: false }]);
  });

  it('tells one at 8 kHz, also where the system gives its sound at another rate', async () => {
    const telephone = halved(await said({ floorDb: -60 }));
    expect(adviceOf(measured(telephone, RATE / 2))).toEqual([{ is: 'narrow', rate: 8000 }]);
    const up = createResampler(RATE / 2);
    const hidden = Float32Array.from([...up.push(telephone), ...up.flush()]);
    expect(adviceOf(measured(hidden))).toEqual([{ is: 'narrow', rate: RATE }]);
  });
});

describe('the microphones that can be chosen', () => {
  it('are those of the system, once each, by their names where the browser gives them', () => {
    const device = (kind: MediaDeviceKind, deviceId: string, label: string) => ({ kind, deviceId, label });
    expect(microphonesIn([device('audioinput', '', '')])).toEqual([]);
    expect(
      microphonesIn([
        device('audioinput', 'default', 'Default - Dash'),
        device('audioinput', 'a1', 'Dash'),
        device('videoinput', 'c1', 'Camera'),
        device('audioinput', 'b2', ''),
      ]),
    ).toEqual([
      { id: 'a1', name: 'Dash' },
      { id: 'b2', name: 'Microphone 2' },
    ]);
  });
});
