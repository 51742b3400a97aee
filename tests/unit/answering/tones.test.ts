import { describe, expect, it } from 'vitest';
import { isTone, tone, TONE_MEANINGS, TONE_NAMES, toneSound } from '../../../src/answering/tones.ts';

describe('tones', () => {
  it('are short, do not click, and no two of them are alike', () => {
    const sounds = TONE_NAMES.map((name) => toneSound(tone(name)));
    for (const { samples, rate } of sounds) {
      expect(samples.length / rate).toBeLessThanOrEqual(0.7);
      const steps = samples.map((sample, n) => Math.abs(sample - (samples[n - 1] ?? 0)));
      expect(Math.max(...steps, Math.abs(samples.at(-1) ?? 1))).toBeLessThan(0.15);
    }
    expect(new Set(sounds.map(({ samples }) => `${samples.length} ${samples[200]?.toFixed(6)}`)).size).toBe(
      TONE_NAMES.length,
    );
  });

  it('are all explained, each with a meaning of its own', () => {
    expect(Object.keys(TONE_MEANINGS)).toEqual(TONE_NAMES);
    expect(new Set(Object.values(TONE_MEANINGS).map(({ means }) => means)).size).toBe(TONE_NAMES.length);
  });

  it('are none of the words', () => {
    expect(isTone('tone:pass')).toBe(true);
    expect(isTone('tone:toString')).toBe(false);
    expect(isTone('pass')).toBe(false);
  });
});
