import { describe, expect, it } from 'vitest';
import { withoutSteadyNoise } from '../../../src/hearing/embedded/denoise.ts';
import { dieselIdle, joined, over, rms, silence, syllable } from './signals.ts';

const SPEECH = joined(silence(250), syllable(300, 0.5), silence(120), syllable(400, 0.5), silence(250));
/** Where the syllables are, and where only noise is. */
const LOUD = [16 * 250, 16 * 550] as const;
const QUIET = [16 * 50, 16 * 200] as const;

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

  it('gives digital silence and the shortest sound back, never anything that is no number', () => {
    expect(withoutSteadyNoise(silence(500)).every((x) => x === 0)).toBe(true);
    expect(withoutSteadyNoise(silence(20))).toHaveLength(320);
    expect(withoutSteadyNoise(new Float32Array(0))).toHaveLength(0);
  });
});
