import { describe, expect, it } from 'vitest';
import type { Word } from '../../../src/hearing/port.ts';
import { sentencesOf } from '../../../src/hearing/sentence-end.ts';
import { languageOf } from '../../../src/running/language.ts';
import { listensFor } from '../../../src/check/listens-for.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { only, startOf, Walk } from '../check/support/say.ts';

const ruleset = languageOf(loadGrammar()).ruleset(['hold', 'settled'], 'psi');
const LOW_AIR = listensFor(new Walk(startOf({ plan: only('low-air-warning') })).state);
const after = (text: string, slowSpeaker = false): number => sentencesOf(ruleset, slowSpeaker).silence(text.split(' '));

describe('the silence that ends a sentence', () => {
  it('is longest where the second needle lacks, and longer still for a slow speaker', () => {
    expect(after('primary one two five')).toBe(900);
    expect(after('primary one two five', true)).toBe(1_600);
  });

  it('is longer where the rest could say the opposite', () => {
    const warning = sentencesOf(languageOf(loadGrammar()).ruleset(LOW_AIR, 'psi'));
    expect(warning.silence(['low', 'air', 'buzzer'])).toBe(400);
  });

  it('is no longer for a slow speaker where nothing lacks', () => {
    for (const text of ['settled', 'primary one two five secondary one two four'])
      expect(after(text, true)).toBe(after(text));
    expect(after('settled')).toBe(250);
  });
});

/** Words with the silence before each, in ms. */
function words(...said: readonly (readonly [text: string, silence: number])[]) {
  let at = 0;
  return said.map(([text, silence]) => {
    const start = at + silence;
    at = start + 300;
    return { text, start, end: at, confidence: 1 };
  });
}

describe('where an utterance begins', () => {
  const sentences = sentencesOf(ruleset);
  const beginnings = (said: readonly Word[]) => sentences.beginnings(said);

  it('keeps a second needle that follows within 900 ms, and parts one that comes later', () => {
    const needles = (silence: number) => words(['primary', 0], ['ninety', 0], ['secondary', silence], ['ninety', 0]);
    expect(beginnings(needles(800))).toEqual([0]);
    expect(beginnings(needles(950))).toEqual([0, 2]);
  });

  it('parts a callout from the one after it and from other speech, by a silence', () => {
    expect(beginnings(words(['skip', 0], ['settled', 200]))).toEqual([0, 1]);
    expect(beginnings(words(['[unk]', 0], ['settled', 300], ['[unk]', 300]))).toEqual([0, 1, 2]);
  });

  it('does not take a callout out of other speech that runs on', () => {
    expect(beginnings(words(['[unk]', 0], ['settled', 100], ['[unk]', 100]))).toEqual([0]);
  });
});
