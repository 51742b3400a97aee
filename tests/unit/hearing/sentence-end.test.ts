import { describe, expect, it } from 'vitest';
import { silenceAfter } from '../../../src/hearing/sentence-end.ts';
import { languageOf } from '../../../src/running/language.ts';
import { loadGrammar } from '../../support/grammar.ts';

const ruleset = languageOf(loadGrammar()).ruleset(['hold', 'settled'], 'psi');
const after = (text: string, slowSpeaker = false): number => silenceAfter(ruleset, slowSpeaker)(text.split(' '));

describe('the silence that ends a sentence', () => {
  it('is longest where the second needle lacks, and longer still for a slow speaker', () => {
    expect(after('primary one two five')).toBe(900);
    expect(after('primary one two five', true)).toBe(1_600);
  });

  it('is no longer for a slow speaker where nothing lacks', () => {
    for (const text of ['settled', 'primary one two five secondary one two four'])
      expect(after(text, true)).toBe(after(text));
    expect(after('settled')).toBe(250);
  });
});
