import { describe, expect, it } from 'vitest';
import type { Decoded, Segment } from '../../../src/hearing/embedded/decoder.ts';
import { isForUs, type SpokenWord } from '../../../src/hearing/embedded/rejection.ts';

const segment = (t: string): Segment => ({ t, b: 0, d: 0.1, p: 1 });
const decoded = (score: number, ...segments: readonly string[]): Decoded => ({
  score,
  segments: segments.map(segment),
});

const word = (start: number, end: number, confidence = 1): SpokenWord => ({ text: 'set', start, end, confidence });

/** Frames of 10 ms that hold sound, from one to before another. */
function sounding(...stretches: readonly (readonly [from: number, to: number])[]): boolean[] {
  return Array.from({ length: 200 }, (_, frame) => stretches.some(([from, to]) => frame >= from && frame < to));
}

/** Two words, 0.5 to 1.5 s, that cover all sound and lead the loop over two phones as given, score a phone. */
function heard({
  words = [word(0.5, 1), word(1, 1.5)],
  voiced = sounding([50, 150]),
  lead = 0,
  filler = ['AH', '<sil>', 'T', '[NOISE]', '(NULL)'],
}: {
  words?: readonly SpokenWord[];
  voiced?: readonly boolean[];
  lead?: number;
  filler?: readonly string[];
} = {}): boolean {
  return isForUs({ callout: decoded(-1000 + 2 * lead), words, voiced }, () => decoded(-1000, ...filler));
}

describe('whether a decode is a callout', () => {
  it('it is when every word is likely, the words cover the sound, and they explain it as well as phones do', () => {
    expect(heard()).toBe(true);
  });

  it('not with a word less likely than 0.65, wherever it stands', () => {
    expect(heard({ words: [word(0.5, 1), word(1, 1.5, 0.65)] })).toBe(true);
    expect(heard({ words: [word(0.5, 1), word(1, 1.5, 0.64)] })).toBe(false);
    expect(heard({ words: [word(0.5, 1, 0.64), word(1, 1.5)] })).toBe(false);
  });

  it('not when more than 250 ms of sound lie outside its words: before, between or after them', () => {
    expect(heard({ voiced: sounding([0, 25], [50, 150]) })).toBe(true);
    expect(heard({ voiced: sounding([0, 26], [50, 150]) })).toBe(false);
    expect(heard({ voiced: sounding([50, 150], [151, 176]) })).toBe(true);
    expect(heard({ voiced: sounding([50, 150], [151, 177]) })).toBe(false);
    const apart = [word(0.2, 0.5), word(1, 1.5)];
    expect(heard({ words: apart, voiced: sounding([20, 50], [60, 85], [100, 150]) })).toBe(true);
    expect(heard({ words: apart, voiced: sounding([20, 50], [60, 86], [100, 150]) })).toBe(false);
  });

  it('with the frames that its edges fall into, which belong to the words', () => {
    // From 49 on and to 150: the frame that ends where the word begins, and the one that begins where it ends.
    expect(heard({ voiced: sounding([24, 151]) })).toBe(true);
    expect(heard({ voiced: sounding([23, 151]) })).toBe(false);
    expect(heard({ voiced: sounding([49, 176]) })).toBe(true);
    expect(heard({ voiced: sounding([49, 177]) })).toBe(false);
  });

  it('not when phones explain the sound better by more than 67 a phone, pauses and noises not counted', () => {
    expect(heard({ lead: -67 })).toBe(true);
    expect(heard({ lead: -67.5 })).toBe(false);
    expect(heard({ lead: -67.5, filler: ['AH', 'T', 'S'] })).toBe(true);
    expect(heard({ lead: 500 })).toBe(true);
  });

  it('by the same measure when the loop heard no phone at all', () => {
    expect(heard({ lead: -33.5, filler: ['<sil>'] })).toBe(true);
    expect(heard({ lead: -34, filler: ['<sil>'] })).toBe(false);
  });

  it('without the second decode, which costs as much as the first, where the words alone decide', () => {
    const never = (): Decoded => {
      throw new Error('The loop over all phones is asked last.');
    };
    const unlikely = [word(0.5, 1.5, 0.1)];
    expect(isForUs({ callout: decoded(0), words: unlikely, voiced: sounding([50, 150]) }, never)).toBe(false);
    expect(isForUs({ callout: decoded(0), words: [word(0.5, 1)], voiced: sounding([50, 150]) }, never)).toBe(false);
  });
});
