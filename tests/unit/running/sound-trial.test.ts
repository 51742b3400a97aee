import { describe, expect, it } from 'vitest';
import type { Heard } from '../../../src/hearing/port.ts';
import type { Ear, EarEvents } from '../../../src/running/ear.ts';
import { languageOf } from '../../../src/running/language.ts';
import { SoundTrial, type Understood } from '../../../src/running/sound-trial.ts';
import { noiseSource, samplesOf, syllable } from '../hearing/signals.ts';
import { loadGrammar } from '../../support/grammar.ts';

const LANGUAGE = languageOf(loadGrammar());
const PHRASE_AT = 2500;
const PHRASE_MS = 1200;
const SOUND_MS = 5500;

/** A trial whose ear is spoken for, after the phrase was measured. */
async function trial() {
  const seen: Understood[] = [];
  let ear: EarEvents | undefined;
  const done = (): Promise<void> => Promise.resolve();
  const source: Ear = {
    open: (events) => ((ear = events), done()),
    retry: done,
    listenFor: () => undefined,
    talk: () => undefined,
    close: done,
  };
  await new SoundTrial(source, LANGUAGE, {
    state: () => undefined,
    changed: ({ understood }) => seen.push(understood),
  }).open();
  const random = noiseSource(1);
  const sound = Float32Array.from({ length: samplesOf(SOUND_MS) }, () => 0.001 * random());
  syllable(PHRASE_MS, 0.3).forEach((x, i) => (sound[samplesOf(PHRASE_AT) + i]! += x));
  ear?.sound?.(sound, 16_000);
  return {
    now: () => seen.at(-1),
    heard: (text: string, start = PHRASE_AT, rejected = false) =>
      ear?.heard({ text, start, end: start + PHRASE_MS, rejected } as Heard),
    progress: (at: number) => ear?.progress(at),
  };
}

describe('what the ear made of the phrase', () => {
  it('is right in any words that mean it', async () => {
    const { now, heard } = await trial();
    await heard('primary one twenty secondary one eighteen');
    expect(now()).toBe('right');
  });

  it('is told where it was something else, and what was said before it was asked for does not count', async () => {
    const { now, heard } = await trial();
    await heard('primary one two zero secondary one one eight', 500);
    expect(now()).toBe('waiting');
    await heard('primary one two zero secondary one one nine');
    expect(now()).toEqual({ heard: 'primary one two zero secondary one one nine' });
  });

  it('is nothing once the ear has worked through the sound and told none of it', async () => {
    const { now, heard, progress } = await trial();
    await heard('', PHRASE_AT, true);
    await progress(SOUND_MS);
    expect(now()).toBe('waiting');
    await progress(SOUND_MS + 3000);
    expect(now()).toBe('nothing');
  });
});
