import { describe, expect, it } from 'vitest';
import { inForeground, loudestOf } from '../../../src/hearing/background-speech.ts';

/** Words of 300 ms with a pause between them, each with its level in dB; `_` is one that the rules do not know, `lost` one that was not heard. */
function left(spoken: string, levels: readonly number[], pause = 200) {
  const texts = spoken.split(' ');
  const words = texts.map((text, at) => {
    const start = at * (300 + pause);
    return { text, start, end: start + 300, confidence: 1 };
  });
  const heard = words.filter(({ text }) => text !== 'lost');
  const { places, isDoubtful } = inForeground(
    heard,
    (word) => word !== '_',
    (from, to) =>
      Math.max(-60, ...levels.filter((_, at) => (words[at]?.start ?? 0) < to && (words[at]?.end ?? 0) > from)),
  );
  return { text: places.map((at) => heard[at]?.text).join(' '), isDoubtful };
}

describe('speech behind a callout', () => {
  it('is left out before and after it', () => {
    const { text, isDoubtful } = left(
      '_ _ primary nine secondary nine _ _',
      [-28, -26, -18, -19, -18, -20, -27, -25],
      300,
    );
    expect(text).toBe('primary nine secondary nine');
    expect(isDoubtful).toBe(false);
  });

  it('is not left out between two words of it, of which it may be a part', () => {
    expect(left('primary nine _ secondary nine _', [-18, -19, -30, -18, -20, -27]).text).toBe(
      'primary nine _ secondary nine',
    );
  });

  it('is not left out where it is nearly as loud', () => {
    expect(left('_ primary nine', [-21, -18, -19]).text).toBe('_ primary nine');
  });

  it('makes it doubtful where no silence parts them: it may be the same voice, fainter, that takes it back', () => {
    const levels = [-28, -18, -19, -18, -19, -27];
    expect(left('_ primary nine secondary nine _', levels, 200)).toEqual({
      text: 'primary nine secondary nine',
      isDoubtful: true,
    });
    expect(left('_ primary nine secondary nine _', levels, 300).isDoubtful).toBe(false);
  });

  it('is not left out around one word unless it is far fainter', () => {
    expect(left('_ settled _', [-25, -18, -25]).text).toBe('_ settled _');
    expect(left('_ settled _', [-27, -18, -27]).text).toBe('settled');
  });

  it('makes a callout doubtful that has a word as faint as it is', () => {
    expect(left('_ primary nine secondary nine three', [-28, -18, -19, -18, -20, -27], 300).isDoubtful).toBe(true);
  });

  it('makes a callout doubtful after which somebody goes on about as loud, though no word was heard', () => {
    expect(
      left('_ primary five seven secondary five lost _', [-28, -18, -19, -18, -18, -19, -20, -28], 300).isDoubtful,
    ).toBe(true);
    expect(
      left('_ primary five seven secondary five lost _', [-28, -18, -19, -18, -18, -19, -29, -28], 300).isDoubtful,
    ).toBe(false);
  });

  it('is left where a callout of the radio is among it, which would lose what makes it none', () => {
    const spoken = '_ _ engine off _ brakes released';
    const levels = [-25, -24, -24, -24, -25, -18, -18];
    expect(left(spoken, levels, 300).text).toBe(spoken);
  });

  it('does not matter where all or none of the words are known', () => {
    expect(left('primary nine three', [-18, -19, -30])).toEqual({ text: 'primary nine three', isDoubtful: false });
    expect(left('_ _', [-18, -30]).text).toBe('_ _');
  });
});

it('finds the loudest of other speech, with what lies within it', () => {
  expect(loudestOf([-30, -18, -29, -20, -27])).toEqual({ from: 1, to: 4 });
  expect(loudestOf([-20])).toEqual({ from: 0, to: 1 });
});
