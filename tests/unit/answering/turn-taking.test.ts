import { describe, expect, it } from 'vitest';
import { converse, SILENCE, type Happening, type Talk } from '../../../src/answering/turn-taking.ts';
import type { TalkLevel } from '../../../src/answering/level.ts';
import { textOf } from '../../../src/answering/wording.ts';
import type { Answer } from '../../../src/check/answer.ts';
import { FULL, needles } from '../check/support/say.ts';

const STEP = FULL.steps.find(({ id }) => id === 'static-leakage')!;
const READ_BACK: Answer = { type: 'read-back', reading: needles(125, 124), corrected: false };
const QUESTION: Answer = { type: 'question', reading: needles(105, 118), because: 'would-fail' };
const BRIEF: Answer = { type: 'brief', step: STEP, caution: false };
const CAUTIONED: Answer = { type: 'brief', step: STEP, caution: true };

/** A conversation, and what the voice does in it: `|` where it is cut, and the words, a tone by its name. */
class Conversation {
  readonly did: string[] = [];
  #talk: Talk = SILENCE;
  readonly #level: TalkLevel;

  constructor(level: TalkLevel = 'short') {
    this.#level = level;
  }

  #happens(happening: Happening, now: number): this {
    const { talk, cut, say } = converse(this.#talk, happening, now);
    this.#talk = talk;
    if (cut) this.did.push('|');
    if (say !== undefined) this.did.push(textOf(say.phrases) || say.phrases.join(' '));
    return this;
  }

  answers(now: number, ...answers: readonly Answer[]): this {
    return this.#happens({ is: 'answers', answers, level: this.#level }, now);
  }
  operator(now: number, speaks: boolean): this {
    return this.#happens({ is: 'operator', speaks }, now);
  }
  said(now: number): this {
    return this.#happens({ is: 'said' }, now);
  }
  /** Time passes in steps of 100 ms. */
  until(from: number, to: number): this {
    for (let now = from; now <= to; now += 100) this.#happens({ is: 'time' }, now);
    return this;
  }
}

const ASKS = 'Heard primary one zero five, secondary one one eight. Yes means fail. Is that right?';

describe('a conversation', () => {
  it('falls silent for the operator, and does not say again what was only read back', () => {
    const talk = new Conversation()
      .answers(0, READ_BACK)
      .operator(800, true)
      .operator(1_800, false)
      .until(1_900, 9_000);
    expect(talk.did).toEqual(['One two five, one two four', '|']);
  });

  it('says a question and a caution again that were cut, a second after the operator ended', () => {
    const asked = new Conversation().answers(0, QUESTION).operator(800, true).operator(1_800, false);
    expect(asked.until(1_900, 2_700).did).toEqual([ASKS, '|']);
    expect(asked.until(2_800, 3_000).did).toEqual([ASKS, '|', ASKS]);
    const warned = new Conversation('tones').answers(0, CAUTIONED).operator(800, true).operator(1_800, false);
    expect(warned.until(1_900, 3_000).did).toEqual([STEP.caution, '|', STEP.caution]);
  });

  it('drops a question that has been answered meanwhile', () => {
    const talk = new Conversation().answers(0, QUESTION).operator(800, true).operator(1_800, false);
    expect(talk.answers(2_100, READ_BACK).said(3_800).until(3_900, 9_000).did).toEqual([
      ASKS,
      '|',
      'One two five, one two four',
    ]);
  });

  it('does not begin while the operator speaks, and says nothing that is older than its moment', () => {
    const talk = new Conversation().operator(0, true).answers(200, READ_BACK, { type: 'call-needles' });
    expect(talk.operator(2_500, false).did).toEqual(['tone:call']);
    const count = new Conversation('full').operator(0, true).answers(200, { type: 'time-left', seconds: 5 });
    expect(count.operator(900, false).until(1_000, 2_000).did).toEqual([]);
  });

  it('overtakes what it still had to say of the callout before', () => {
    const talk = new Conversation('full').answers(0, READ_BACK, { type: 'hold-started', seconds: 60 });
    expect(talk.answers(700, { type: 'not-here' }).did).toEqual([
      'Primary one two five, secondary one two four.',
      '|',
      'Not now.',
    ]);
    expect(talk.said(1_200).until(1_300, 4_000).did).toHaveLength(3);
  });

  it('keeps a bad verdict however long the operator speaks', () => {
    const result = { verdict: 'fail', reason: '', figures: {}, limits: [] } as const;
    const talk = new Conversation().operator(0, true).answers(100, { type: 'verdict', step: STEP, result });
    expect(talk.operator(7_900, false).did).toEqual(['Fail.']);
  });

  it('says a brief after three seconds of silence in a new step, and at once at the full level', () => {
    const talk = new Conversation().answers(0, BRIEF).operator(2_000, true).operator(3_000, false);
    expect(talk.until(3_100, 5_900).did).toEqual([]);
    expect(talk.until(6_000, 6_100).did).toEqual(['Static leakage.']);
    expect(new Conversation('full').answers(0, BRIEF).did).toEqual([STEP.brief]);
  });

  it('asks again after six seconds of silence and once more after twenty, then sounds a tone every thirty', () => {
    const talk = new Conversation().answers(0, QUESTION).said(5_000);
    expect(talk.until(5_100, 10_900).did).toEqual([ASKS]);
    expect(talk.until(11_000, 11_100).said(16_000).until(16_100, 36_100).did).toEqual([ASKS, ASKS, ASKS]);
    expect(talk.said(41_000).until(41_100, 71_100).said(71_200).until(71_300, 101_300).did.slice(3)).toEqual([
      'tone:asked',
      'tone:asked',
    ]);
  });

  it('sounds a tone every thirty seconds for needles that were called for twice', () => {
    const talk = new Conversation().answers(0, { type: 'call-needles' }).said(500);
    talk.until(600, 19_900).answers(20_000, { type: 'call-needles', again: true }).said(22_000);
    expect(talk.until(22_100, 52_000).said(52_400).until(52_500, 82_400).did).toEqual([
      'tone:call',
      'Call both needles now.',
      'tone:call',
      'tone:call',
    ]);
  });

  it('does not wait for ever for a sound that does not end', () => {
    const talk = new Conversation().operator(0, true).answers(100, CAUTIONED);
    expect(talk.until(200, 8_100).did).toEqual([STEP.caution]);
  });
});
