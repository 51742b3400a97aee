import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { cardOf } from '../../../src/cli/assets/assets-guide.ts';
import { loadGrammar } from '../../../src/cli/shared/read-inputs.ts';
import { languageOf } from '../../../src/running/language.ts';
import { FULL } from '../check/support/say.ts';

const grammar = await loadGrammar();
if (!grammar.ok) throw new Error(grammar.problem.what);
const language = languageOf(grammar.value);

/** What stands in a page as said, in words of the grammar. */
function said(html: string): readonly string[] {
  return [...html.matchAll(/<q>([^<]+)<\/q>/g)].map(([, words = '']) => words.replaceAll(/[,.]/g, '').toLowerCase());
}

describe('what the papers say that one can say is understood', () => {
  it('on the card, with every cue of the plan on it', () => {
    const phrases = said(cardOf(grammar.value, FULL));
    const meant = phrases.map((phrase) => [phrase, language.parse(['anything'], phrase, 'psi')] as const);
    expect(meant.filter(([, meaning]) => meaning === undefined)).toEqual([]);
    const cues = new Set(meant.flatMap(([, meaning]) => meaning?.cues ?? []));
    for (const { cues: before, outcomes = [], cuesAfter = [] } of FULL.steps)
      for (const cue of [...before, ...outcomes, ...cuesAfter]) expect(cues).toContain(cue);
  });

  it('in the guide', () => {
    const phrases = said(readFileSync('public/guide/index.html', 'utf8'));
    expect(phrases.length).toBeGreaterThan(10);
    for (const phrase of phrases) expect(language.parse(['anything'], phrase, 'psi'), phrase).toBeDefined();
  });
});
