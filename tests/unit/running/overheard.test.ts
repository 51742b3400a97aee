import { describe, expect, it } from 'vitest';
import { languageOf } from '../../../src/running/language.ts';
import { calloutOf } from '../../../src/running/callout-of.ts';
import { loadGrammar } from '../../support/grammar.ts';

const language = languageOf(loadGrammar());

function meant(text: string, confidence: number, engine: 'vosk' | 'embedded' = 'vosk') {
  const said = { start: 0, end: 500, text, confidence, engine, source: 'voice' } as const;
  return calloutOf(said, ['anything'], 'psi', language).meaning;
}

describe('words that other speech in noise turns into', () => {
  it.each(['skip', 'go back', 'stop the check', 'pause'])('count only when they were heard surely: %s', (text) => {
    expect(meant(text, 0.79)).toBeUndefined();
    expect(meant(text, 0.8)).toBeDefined();
  });

  it('may be less sure as an answer to a question', () => {
    expect(meant('yes', 0.6)?.command).toBe('yes');
    expect(meant('correct', 0.5)).toBeUndefined();
  });

  it('are not needles, which are asked about instead', () => {
    expect(meant('primary one two five', 0.3)?.reading).toBeDefined();
    expect(meant('no primary one two five', 0.3)?.reading).toBeDefined();
  });

  it('are judged by the engine’s own scale', () => {
    expect(meant('skip', 0.5, 'embedded')?.command).toBe('skip');
  });
});
