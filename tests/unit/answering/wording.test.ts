import fc from 'fast-check';
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { TALK_LEVELS, type TalkLevel } from '../../../src/answering/level.ts';
import { isTone } from '../../../src/answering/tones.ts';
import { textOf, word, wordCaution } from '../../../src/answering/wording.ts';
import { cardinal, digits } from '../../../src/answering/wording-numbers.ts';
import { fixedPhrases } from '../../../src/answering/wording-phrases.ts';
import type { Answer } from '../../../src/check/answer.ts';
import { advance, startCheck } from '../../../src/check/machine.ts';
import type { Plan } from '../../../src/check/plan.ts';
import { anyEvents } from '../check/support/arbitrary.ts';
import { FULL, needles, only, primary, startOf, TENDER_34, Walk } from '../check/support/say.ts';

const text = (answer: Answer, level: TalkLevel = 'full'): string => textOf(word(answer, level));
const PLANS_FOLDER = new URL('../../../src/check/plans/', import.meta.url);
const PLANS = readdirSync(PLANS_FOLDER).map(
  (name) => JSON.parse(readFileSync(new URL(name, PLANS_FOLDER), 'utf8')) as Plan,
);

describe('numbers', () => {
  it('are spoken digit by digit for pressures, and counted for times and amounts', () => {
    expect(digits(125)).toEqual(['one', 'two', 'five']);
    expect(digits(85.5)).toEqual(['eight', 'five', 'point', 'five']);
    expect(cardinal(62)).toEqual(['sixty', 'two']);
    expect(cardinal(115)).toEqual(['one', 'hundred', 'fifteen']);
    expect(cardinal(2.04)).toEqual(['two']);
  });
});

describe('answers in words', () => {
  it('read back and ask with the needles digit by digit', () => {
    expect(text({ type: 'read-back', reading: needles(125, 124), corrected: false })).toBe(
      'Primary one two five, secondary one two four.',
    );
    expect(text({ type: 'question', reading: needles(105, 118), because: 'would-fail' })).toBe(
      'Heard primary one zero five, secondary one one eight. Yes means fail. Is that right?',
    );
    expect(text({ type: 'read-back', reading: primary(90), corrected: true })).toBe('Corrected, primary nine zero.');
  });

  it('say before a fail is confirmed what yes comes to and why, and after it what can be done, at every level', () => {
    const settings = { stillAfterFail: true };
    const walk = new Walk(startOf({ plan: only('static-leakage', 'applied-leakage'), settings }));
    walk.sayAll('engine-off', 'brakes-released', 'settled');
    walk.say(needles(118, 117), { at: 18, lasting: 2 }).say(needles(117, 113), { at: 82 });
    const [asked] = walk.last;
    for (const level of ['short', 'full'] as const)
      expect(text(asked!, level)).toBe(
        'Heard primary one one seven, secondary one one three. Secondary dropped four; limit two a minute. Yes means fail. Is that right?',
      );
    walk.say('yes');
    const fork = walk.last.find(({ type }) => type === 'fork');
    for (const level of TALK_LEVELS) expect(text(fork!, level)).toMatch(/measure again, or stop the check, or go on/);
  });

  it('say a failed hold with its drop, its time and its limit', () => {
    const walk = new Walk(startOf({ plan: only('static-leakage', 'tug-test') })).sayAll(
      'engine-off',
      'brakes-released',
      'settled',
    );
    walk.say(needles(118, 117), { at: 18, lasting: 2 }).say(needles(117, 113), { at: 82 }).say('yes');
    expect(walk.last.map((answer) => text(answer))[1]).toBe(
      'Static leakage: fail. Secondary dropped four in sixty two seconds; limit two a minute.',
    );
  });

  it('say a slow build-up and a pressure outside its band', () => {
    const build = new Walk(startOf({ plan: only('build-up', 'tug-test') })).sayAll('engine-started', 'fast-idle-set');
    build.say(needles(85, 85), { at: 10 }).say(needles(100, 100), { at: 61 }).say('yes');
    expect(text(build.last[1]!)).toBe(
      'Build-up at fast idle: fail. Build-up took fifty one seconds; limit at most forty five.',
    );
    const warning = new Walk(startOf({ plan: only('low-air-warning', 'tug-test') }))
      .knowing('engine-off')
      .sayAll('buzzer', needles(48, 52), 'yes');
    expect(text(warning.last[1]!)).toBe('Low-air warning: fail. Warning at four eight; limit five five to seven five.');
  });

  it('say what is still needed, and which of several outcomes', () => {
    const walk = new Walk(startOf({ plan: only('tug-test') })).sayAll('in-drive', 'engine-off');
    expect(text(walk.last[0]!)).toBe('Still needed: chocks stowed, belts on, brakes held or rig moved.');
  });

  it('end with the verdict, the advice and the time', () => {
    expect(text({ type: 'finished', verdict: 'fail', seconds: 541, stopped: false })).toBe(
      'Check complete: fail. Do not drive on a failed check. Time nine minutes one second.',
    );
    expect(text({ type: 'finished', verdict: 'incomplete', stopped: true })).toBe('Check stopped. Check incomplete.');
  });

  it('say, in short, digits and verdicts alone, and every question in full', () => {
    const step = FULL.steps[5]!;
    expect(text({ type: 'brief', step, caution: true }, 'short')).toBe('Static leakage.');
    expect(text({ type: 'read-back', reading: needles(125, 124), corrected: false }, 'short')).toBe(
      'One two five, one two four',
    );
    expect(text({ type: 'read-back', reading: needles(125, 125), corrected: false }, 'short')).toBe(
      'Both one two five',
    );
    const question: Answer = { type: 'question', reading: needles(105, 118), because: 'would-fail' };
    expect(text(question, 'short')).toBe(text(question));
    const walk = new Walk(startOf({ plan: only('static-leakage', 'tug-test') })).sayAll(
      'engine-off',
      'brakes-released',
      'settled',
    );
    walk.say(needles(118, 117), { at: 18, lasting: 2 }).say(needles(117, 116), { at: 82 });
    expect(walk.last.map((answer) => text(answer, 'short'))[1]).toBe('Pass, one psi.');
  });

  it('say by a tone what a tone can say, and never a word against a measurement', () => {
    expect(word({ type: 'noted', cue: 'settled' }, 'tones')).toEqual(['tone:taken']);
    expect(word({ type: 'noted', cue: 'settled' }, 'short')).toEqual(['tone:taken']);
    const walk = new Walk(startOf({ plan: only('static-leakage') })).sayAll('engine-off', 'brakes-released', 'settled');
    walk.say(needles(118, 117)).say('engine-started');
    const [against] = walk.last;
    expect(against?.type).toBe('contradicted');
    for (const level of TALK_LEVELS) expect(text(against!, level)).toMatch(/^Engine started\..*Begin again\.$/);
  });

  it.each(TALK_LEVELS)('say each caution in full at the level %s', (level) => {
    const step = FULL.steps[5]!;
    expect(step.caution).toBeDefined();
    expect(wordCaution({ type: 'brief', step, caution: true })).toEqual([step.caution]);
    expect(wordCaution({ type: 'brief', step, caution: false })).toEqual([]);
    expect(text({ type: 'finished', verdict: 'fail', stopped: false }, level)).toMatch(
      /Do not drive on a failed check/,
    );
  });
});

describe('the closed list of phrases', () => {
  const inventory = new Set(fixedPhrases(PLANS));

  it('covers every answer that a check can give', () => {
    fc.assert(
      fc.property(
        anyEvents,
        fc.constantFrom(startOf(), startOf({ rig: TENDER_34, asking: 'assume' })),
        fc.constantFrom(...TALK_LEVELS),
        (events, start, level) => {
          let { state, answers } = startCheck(start);
          for (const event of [...events, { type: 'end' as const, at: 9_000_000 }]) {
            const missing = answers
              .flatMap((answer) => [...word(answer, level), ...wordCaution(answer)])
              .filter((phrase) => !inventory.has(phrase) && !isTone(phrase));
            if (missing.length > 0) expect(missing).toEqual([]);
            ({ state, answers } = advance(state, event));
          }
        },
      ),
      { numRuns: 200 },
    );
  }, 600_000);

  it('stays short enough to be made in advance, and never calls anything safe', () => {
    expect(inventory.size).toBeLessThan(300);
    expect([...inventory].filter((phrase) => /\bsafe/i.test(phrase))).toEqual([]);
  });
});
