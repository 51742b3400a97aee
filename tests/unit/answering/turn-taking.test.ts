import { describe, expect, it } from 'vitest';
import { converse, SILENCE, type Happening, type Talk } from '../../../src/answering/turn-taking.ts';
import type { TalkLevel } from '../../../src/answering/level.ts';
import { textOf } from '../../../src/answering/wording.ts';
import type { Answer } from '../../../src/check/answer.ts';
import type { StepResult } from '../../../src/judging/result.ts';
import { FULL, needles } from '../check/support/say.ts';

const STEP = FULL.steps.find(({ id }) => id === 'static-leakage')!;
const READ_BACK: Answer = { type: 'read-back', reading: needles(125, 124), corrected: false };
const QUESTION: Answer = { type: 'question', reading: needles(105, 118), because: 'would-fail' };
const BRIEF: Answer = { type: 'brief', step: STEP, caution: false };
const DUE = { type: 'still-needed', step: STEP, cues: ['engine-off'], reading: false } as const;
const OTHER_DUE = { ...DUE, cues: ['settled'] } as const;
const PASSED = { verdict: 'pass', reason: '', figures: {}, limits: [] } as const satisfies StepResult;
const LIMIT = { figure: 'primary', max: 130, unit: 'psi', source: { document: 'any', sure: 'practice' } } as const;
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
  operator(now: number, speaks: boolean, pressed = false): this {
    return this.#happens({ is: 'operator', speaks, pressed }, now);
  }
  said(now: number): this {
    return this.#happens({ is: 'said' }, now);
  }
  /** Time passes in steps of 100 ms, in which something may be due. */
  until(from: number, to: number, answer?: Answer): this {
    const due = answer === undefined ? {} : { due: { answer, level: this.#level } };
    for (let now = from; now <= to; now += 100) this.#happens({ is: 'time', ...due }, now);
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

  it('comes to the end of a caution that sounds without words cut off twice, and is cut off again once it answered', () => {
    const cough = (talk: Conversation, at: number) =>
      talk
        .operator(at, true)
        .operator(at + 300, false)
        .until(at + 400, at + 1_500);
    const talk = new Conversation('tones').answers(0, CAUTIONED);
    cough(cough(talk, 500), 2_500);
    expect(talk.did).toEqual([STEP.caution, '|', STEP.caution, '|', STEP.caution]);
    expect(cough(talk, 4_500).did).toHaveLength(5);
    talk.said(6_100).answers(6_200, CAUTIONED).operator(6_500, true);
    expect(talk.did.slice(5)).toEqual([STEP.caution, '|']);
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

  it.each([{ type: 'not-here' }, { type: 'listens', how: 'openly' }] as const)(
    'goes on asking what it asked when it has answered something else: $type',
    (aside) => {
      const talk = new Conversation().answers(0, QUESTION).said(3_000).operator(4_000, true).operator(4_800, false);
      talk.answers(4_900, aside).said(5_500);
      expect(talk.until(5_600, 12_000).did.filter((words) => words === ASKS)).toHaveLength(2);
    },
  );

  it('says again what the pad cut off that was a caution or a question, and falls silent for it each time', () => {
    for (const said of [QUESTION, { ...BRIEF, caution: true }]) {
      const talk = new Conversation().answers(0, said);
      const [words] = talk.did;
      for (const at of [300, 5_000, 10_000, 15_000])
        talk
          .operator(at, true, true)
          .operator(at + 800, false, true)
          .until(at + 900, at + 4_000);
      expect(talk.did.slice(0, 9)).toEqual([words, '|', words, '|', words, '|', words, '|', words]);
    }
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

  it('says what is still needed after three seconds of silence where the words were taken, and at once where they were not', () => {
    const next = new Conversation().answers(0, READ_BACK, DUE).said(1_600).until(1_700, 4_500);
    expect(next.did).toEqual(['One two five, one two four']);
    expect(next.until(4_600, 4_700).did.slice(1)).toEqual(['Needed: engine off.']);
    const said = new Conversation().answers(0, READ_BACK, DUE).said(1_600).operator(3_000, true).operator(4_000, false);
    expect(
      said.answers(4_300, { type: 'noted', cue: 'engine-off' }).said(4_400).until(4_500, 12_000).did.slice(1),
    ).toEqual(['tone:taken']);
    expect(new Conversation().answers(0, DUE).did).toEqual(['Needed: engine off.']);
    expect(new Conversation('full').answers(0, READ_BACK, DUE).said(1_400).did.slice(1)).toEqual([
      'Still needed: engine off.',
    ]);
  });

  it('says that a hold runs however long the read-back before it took', () => {
    const started: Answer = { type: 'hold-started', seconds: 60 };
    expect(new Conversation().answers(0, READ_BACK, started).said(2_000).did.slice(1)).toEqual(['Hold.']);
    expect(
      new Conversation().answers(0, READ_BACK, started).operator(300, true).operator(4_500, false).did,
    ).toHaveLength(2);
  });

  it('says the verdict of the last step in that of the whole check where both are a pass, and else each', () => {
    const end = (verdict: 'pass' | 'fail'): Answer => ({ type: 'finished', verdict, stopped: false });
    const passed: Answer = { type: 'verdict', step: STEP, result: { ...PASSED, limits: [LIMIT] } };
    expect(new Conversation().answers(0, passed, end('pass')).did).toEqual(['Check complete, pass.']);
    expect(new Conversation().answers(0, passed, end('fail')).said(500).did).toEqual([
      'Pass.',
      'Check complete, fail. Do not drive on a failed check.',
    ]);
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

  it('reminds once of what is due after 20 s of silence, and then by a tone every 30 s', () => {
    const talk = new Conversation().until(0, 19_900, DUE);
    expect(talk.did).toEqual([]);
    expect(talk.until(20_000, 20_100, DUE).did).toEqual(['Needed: engine off.']);
    expect(talk.said(21_500).until(21_600, 51_400, DUE).did).toHaveLength(1);
    expect(talk.until(51_500, 51_600, DUE).did.slice(1)).toEqual(['tone:asked']);
    expect(talk.said(51_800).until(51_900, 81_700, DUE).did).toHaveLength(2);
    expect(talk.until(81_800, 81_900, DUE).did).toHaveLength(3);
  });

  it('counts silence from when the operator ended, begins anew with something else, and reminds of nothing while nothing is due', () => {
    const talk = new Conversation().until(0, 10_000, DUE).operator(10_100, true).operator(12_000, false);
    expect(talk.until(12_100, 31_900, DUE).did).toEqual([]);
    expect(talk.until(32_000, 32_100, DUE).said(33_000).did).toHaveLength(1);
    expect(talk.until(33_100, 52_900, OTHER_DUE).did).toHaveLength(1);
    expect(talk.until(53_000, 53_200, OTHER_DUE).did).toHaveLength(2);
    expect(new Conversation().until(0, 90_000).did).toEqual([]);
  });

  it('says the last thing again, whatever it was: a caution, a question, a verdict, in words what a tone said, but no count', () => {
    const passed = { type: 'verdict', step: STEP, result: { ...PASSED, limits: [LIMIT] } } as const;
    const again: Answer = { type: 'again', answer: BRIEF };
    const asked = (...answers: readonly Answer[]): string | undefined => {
      const talk = new Conversation()
        .answers(0, ...answers)
        .said(5_000)
        .said(10_000)
        .said(15_000);
      return talk
        .until(15_100, 16_000)
        .operator(17_000, true)
        .operator(18_000, false)
        .answers(18_300, again)
        .did.at(-1);
    };
    expect(asked(CAUTIONED)).toBe(STEP.caution);
    expect(asked(QUESTION)).toBe(ASKS);
    // The brief of the next step waits for silence: what was heard is the verdict.
    expect(asked(passed, CAUTIONED)).toBe(STEP.caution);
    const soon = new Conversation().answers(0, passed, BRIEF).said(900).operator(1_500, true).operator(2_000, false);
    expect(soon.answers(2_300, again).did).toEqual(['Pass.', 'Pass.']);
    expect(asked({ type: 'call-needles' })).toBe('Call both needles now.');
    const counted = new Conversation().answers(0, READ_BACK).said(2_000);
    expect(counted.answers(50_000, { type: 'time-left', seconds: 10 }).said(50_300).answers(52_000, again).did).toEqual(
      ['One two five, one two four', 'tone:ten', 'One two five, one two four'],
    );
  });

  it('says a caution once that was cut off by asking for it again, and leaves a question open', () => {
    const talk = new Conversation('tones').answers(0, CAUTIONED).operator(800, true).operator(1_800, false);
    talk.answers(2_000, { type: 'again', answer: BRIEF }).said(7_000).until(7_100, 12_000);
    expect(talk.did).toEqual([STEP.caution, '|', STEP.caution]);
    const asks = new Conversation().answers(0, QUESTION).said(5_000);
    asks.answers(6_000, { type: 'again', answer: QUESTION }).said(11_000);
    expect(asks.until(11_100, 17_000).did).toEqual([ASKS, ASKS, ASKS]);
  });

  it('leaves an open question alone to remind of itself', () => {
    const talk = new Conversation().answers(0, QUESTION).said(4_000).until(4_100, 9_900, DUE);
    expect(talk.did).toEqual([ASKS]);
    expect(talk.until(10_000, 29_000, DUE).did).toEqual([ASKS, ASKS]);
  });
});
