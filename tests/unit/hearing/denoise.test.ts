import { describe, expect, it } from 'vitest';
import { withoutSteadyNoise } from '../../../src/hearing/embedded/denoise.ts';
import { dieselIdle, joined, noiseSource, over, rms, samplesOf, silence, syllable } from './signals.ts';

const SPEECH = joined(silence(250), syllable(300, 0.5), silence(120), syllable(400, 0.5), silence(250));
/** Where the syllables are, and where only noise is. */
const LOUD = [16 * 250, 16 * 550] as const;
const QUIET = [16 * 50, 16 * 200] as const;

/** A second. */
const WHOLE = [0, 16_000] as const;

function white(ms: number, seed: number, amplitude = 0.1): Float32Array {
  const random = noiseSource(seed);
  return Float32Array.from({ length: samplesOf(ms) }, () => amplitude * random());
}

function level(sound: Float32Array, [from, to]: readonly [number, number]): number {
  return 20 * Math.log10(rms(sound.slice(from, to)));
}

describe('turning steady noise down', () => {
  it('lets speech stand further above a diesel than it did, by 8 dB at least', () => {
    const noisy = over(SPEECH, dieselIdle(SPEECH.length, 3), rms(SPEECH.slice(...LOUD)), 10);
    const cleaned = withoutSteadyNoise(noisy);
    expect(cleaned).toHaveLength(noisy.length);
    const stood = level(noisy, LOUD) - level(noisy, QUIET);
    expect(level(cleaned, LOUD) - level(cleaned, QUIET)).toBeGreaterThan(stood + 8);
  });

  it('leaves speech without noise as it is: the difference is 30 dB below it', () => {
    const cleaned = withoutSteadyNoise(SPEECH);
    const difference = SPEECH.map((x, i) => x - (cleaned[i] ?? 0));
    expect(level(SPEECH, LOUD) - level(difference, LOUD)).toBeGreaterThan(30);
  });

  it('leaves the last sounds as loud as they are', () => {
    const cut = joined(silence(500), syllable(600, 0.5).slice(0, samplesOf(300)));
    const last = [cut.length - 200, cut.length] as const;
    expect(Math.abs(level(cut, last) - level(withoutSteadyNoise(cut), last))).toBeLessThan(0.5);
  });

  it('leaves no more than its least gain, about 18 dB less, of noise without speech: no hole, and no tinkling of what was missed', () => {
    for (const seed of [1, 2, 3]) {
      const noise = white(1000, seed);
      const down = level(noise, WHOLE) - level(withoutSteadyNoise(noise), WHOLE);
      expect(down).toBeGreaterThan(16.2);
      expect(down).toBeLessThan(18);
    }
  });

  it('finds the noise wherever it is alone: speech first, its pause last', () => {
    const noise = white(800, 1, 0.02);
    const noisy = joined(syllable(300, 0.5), silence(500)).map((x, i) => x + (noise[i] ?? 0));
    const cleaned = withoutSteadyNoise(noisy);
    const speech = [0, samplesOf(300)] as const;
    const pause = [samplesOf(375), samplesOf(750)] as const;
    expect(Math.abs(level(noisy, speech) - level(cleaned, speech))).toBeLessThan(0.2);
    expect(level(noisy, pause) - level(cleaned, pause)).toBeGreaterThan(16);
  });

  it('finds it in a pause between words too', () => {
    const noise = white(1100, 6, 0.02);
    const noisy = joined(syllable(300, 0.5), silence(500), syllable(300, 0.5)).map((x, i) => x + (noise[i] ?? 0));
    const cleaned = withoutSteadyNoise(noisy);
    const pause = [samplesOf(375), samplesOf(725)] as const;
    expect(Math.abs(level(noisy, [0, samplesOf(300)]) - level(cleaned, [0, samplesOf(300)]))).toBeLessThan(0.2);
    expect(Math.abs(level(noisy, [samplesOf(800), 17_600]) - level(cleaned, [samplesOf(800), 17_600]))).toBeLessThan(
      0.2,
    );
    expect(level(noisy, pause) - level(cleaned, pause)).toBeGreaterThan(16);
  });

  it('takes a steady whine out where it whines, and leaves the speech beside it', () => {
    const random = noiseSource(7);
    const whine = (n: number): number => 0.05 * Math.sin((2 * Math.PI * 3000 * n) / 16_000);
    const noisy = SPEECH.map((x, n) => x + whine(n) + 0.0005 * random());
    const cleaned = withoutSteadyNoise(noisy);
    /** How much of the whine there is while the second syllable sounds, whose own formants lie below 2 kHz. */
    const whining = (sound: Float32Array): number => {
      let inPhase = 0;
      let across = 0;
      for (let n = 16 * 750; n < 16 * 1000; n += 1) {
        inPhase += sound[n]! * Math.sin((2 * Math.PI * 3000 * n) / 16_000);
        across += sound[n]! * Math.cos((2 * Math.PI * 3000 * n) / 16_000);
      }
      return 20 * Math.log10(Math.hypot(inPhase, across));
    };
    expect(whining(noisy) - whining(cleaned)).toBeGreaterThan(10);
    expect(Math.abs(level(SPEECH, LOUD) - level(cleaned, LOUD))).toBeLessThan(0.5);
  });

  it('takes no short dropout of a microphone for the noise', () => {
    const noise = white(2000, 2);
    noise.fill(0, samplesOf(1000), samplesOf(1080));
    const before = [0, samplesOf(900)] as const;
    expect(level(noise, before) - level(withoutSteadyNoise(noise), before)).toBeGreaterThan(12);
  });

  it('tells the pauses by the sound in the band of speech: a hiss in them is no speech', () => {
    // White noise without its lower half: every sample less the one before, twice.
    const hiss = white(1000, 3, 0.3);
    for (let round = 0; round < 2; round += 1) for (let i = hiss.length - 1; i > 0; i -= 1) hiss[i]! -= hiss[i - 1]!;
    const speech = [samplesOf(300), samplesOf(700)] as const;
    const sound = white(1000, 4, 0.003);
    joined(silence(300), syllable(400, 0.5)).forEach((x, i) => (sound[i]! += x));
    hiss.forEach((x, i) => {
      if (i < speech[0] || i >= speech[1]) sound[i]! += x * 0.02;
    });
    const cleaned = withoutSteadyNoise(sound);
    expect(Math.abs(level(sound, speech) - level(cleaned, speech))).toBeLessThan(0.5);
    expect(level(sound, [0, samplesOf(250)]) - level(cleaned, [0, samplesOf(250)])).toBeGreaterThan(12);
  });

  it('does nothing to a sound too short to tell its noise by, and cleans the next longer one', () => {
    const shortest = white(1000, 5).slice(0, 1025);
    expect(withoutSteadyNoise(shortest.slice(0, 1024))).toEqual(shortest.slice(0, 1024));
    const whole = [0, 1025] as const;
    expect(level(shortest, whole) - level(withoutSteadyNoise(shortest), whole)).toBeGreaterThan(10);
  });

  it('gives digital silence and the shortest sound back, never anything that is no number', () => {
    expect(withoutSteadyNoise(silence(500)).every((x) => x === 0)).toBe(true);
    expect(withoutSteadyNoise(silence(20))).toHaveLength(320);
    expect(withoutSteadyNoise(new Float32Array(0))).toHaveLength(0);
  });
});
