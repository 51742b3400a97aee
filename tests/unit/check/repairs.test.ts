import { describe, expect, it } from 'vitest';
import type { Meaning } from '../../../src/grammar/meaning.ts';
import { parse } from '../../../src/grammar/parse.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { needles, only, startOf, Walk } from './support/say.ts';

const grammar = loadGrammar();

/** What is said right after needles, as it is understood. */
function repair(text: string): Meaning {
  const meaning = parse(grammar, ['reading', 'repaired'], text, 'psi');
  if (meaning === undefined) throw new Error(`“${text}” means nothing`);
  return meaning;
}

const filling = (): Walk => new Walk(startOf({ plan: only('pre-start-fill') }));
const cutIn = (): Walk =>
  new Walk(startOf({ plan: only('governor-cut-in', 'refill') })).knowing('engine-started').say('cut-in');

describe('needles repaired in one breath', () => {
  it('are told by what a needle was, after all', () => {
    const walk = filling().sayAll(needles(75, 79), repair('secondary was seven six'));
    expect(walk.last[0]).toEqual({ type: 'read-back', reading: needles(75, 76), corrected: true });
  });

  it('by a number alone are both, where both stood alike', () => {
    const walk = filling().sayAll(needles(76, 76), repair('no seven five'));
    expect(walk.last[0]).toEqual({ type: 'read-back', reading: needles(75, 75), corrected: true });
  });

  it('by a number alone are the nearer one, which is asked about', () => {
    const walk = filling().sayAll(needles(75, 79), repair('no seven eight'));
    expect(walk.last).toMatchObject([{ type: 'question', reading: needles(75, 78) }]);
    walk.say('yes');
    expect(walk.last[0]).toMatchObject({ type: 'read-back', reading: needles(75, 78) });
  });

  it('in answer to a question are asked about in their turn, and pass nothing by themselves', () => {
    const walk = cutIn().say(needles(98, 79));
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail' }]);
    walk.say(repair('no nine seven'));
    expect(walk.last).toMatchObject([{ type: 'question', reading: needles(97, 79) }]);
    expect(walk.state.records).toEqual([]);
  });

  it('keep the fail that they took the place of, where it had been judged', () => {
    const walk = cutIn().sayAll(needles(98, 79), 'yes');
    expect(walk.verdict('governor-cut-in')).toBe('fail');
    walk.sayAll(repair('secondary was nine seven'));
    expect(walk.verdict('governor-cut-in')).toBe('pass');
    expect(walk.state.records[0]?.result.flags?.join()).toMatch(/^Failed before the needles were corrected/);
  });

  it('that repair nothing change nothing', () => {
    const walk = filling().say(repair('correction one one six'));
    expect(walk.last).toEqual([{ type: 'not-here', command: 'correction' }]);
    expect(walk.state.needles).toBeUndefined();
  });
});
