import { beforeAll, describe, expect, it } from 'vitest';
import { spokenMs } from '../../../src/answering/embedded-speaker.ts';
import type { VoicePack } from '../../../src/answering/voice-pack.ts';
import { word } from '../../../src/answering/wording.ts';
import type { Answer, RepeatReason } from '../../../src/check/answer.ts';
import { deniedBy } from '../../../src/check/denied.ts';
import { CAB_CUES, isAdverse } from '../../../src/check/cab.ts';
import { builtInPlans } from '../../../src/check/built-in-plans.ts';
import type { Step } from '../../../src/check/plan.ts';
import type { StepResult } from '../../../src/judging/result.ts';
import { loadGrammar } from '../../../src/cli/shared/read-inputs.ts';
import { languageOf, type Language } from '../../../src/running/language.ts';
import { cueIds } from '../../../src/grammar/select.ts';
import { ENGINE_31, fullCabCheckScript } from '../../../src/rehearsal/synthetic-operator-script.ts';
import { FULL, needles, primary, startOf } from '../check/support/say.ts';
import { spokenIn, voicePack } from '../../support/spoken.ts';

/** No answer takes longer, but a caution or a question; and one that asks for a measurement anew, ms. */
const LONGEST = 2_000;
const LONGEST_REQUEST = 3_000;

let pack: VoicePack;
let language: Language;
let steps: readonly Step[];
beforeAll(async () => {
  pack = voicePack();
  const read = await loadGrammar();
  if (!read.ok) throw new Error(read.problem.what);
  language = languageOf(read.value);
  steps = builtInPlans(new Set(cueIds(read.value))).flatMap((plan) => plan.steps);
});

/** How long the embedded voice takes for it, in ms. */
function lengthOf(phrases: readonly string[]): number {
  const ms = spokenMs(phrases, pack);
  if (ms === undefined) throw new Error(`no clips for “${phrases.join(' ')}”`);
  return ms;
}

function tooLong(answers: readonly Answer[], most: number): string[] {
  return answers.flatMap((answer) => {
    const phrases = word(answer, 'short');
    const ms = lengthOf(phrases);
    return ms > most ? [`${phrases.join(' ')}: ${ms.toFixed(0)} ms`] : [];
  });
}

describe('what is said in short', () => {
  it('reads needles back in 2 s, or in no longer than they took to call', () => {
    const halves = Array.from({ length: 161 }, (_, value) => [value, value + 0.5]).flat();
    const tooSlow = halves.flatMap((value) => {
      const readings = [needles(value, 117), needles(117, value), needles(value, value), primary(value)];
      return readings.filter((reading) => {
        const answer: Answer = { type: 'read-back', reading, corrected: false };
        // The tool's own voice says all of it no slower than an operator calls it.
        return lengthOf(word(answer, 'short')) > Math.max(LONGEST, lengthOf(word(answer, 'full')));
      });
    });
    expect(tooSlow).toEqual([]);
    const whole = Array.from({ length: 131 }, (_, value) => needles(value, 117));
    expect(
      tooLong(
        whole.map((reading) => ({ type: 'read-back', reading, corrected: false })),
        LONGEST,
      ),
    ).toEqual([]);
  });

  it('takes no more than 2 s, but for cautions and questions', () => {
    const cues = new Set([...CAB_CUES, ...steps.flatMap((step) => [...step.cues, ...(step.cuesAfter ?? [])])]);
    const dropped = (verdict: StepResult['verdict'], value: number, unit: 'psi' | 'kPa'): StepResult => ({
      verdict,
      reason: '',
      figures: {
        primaryDrop: { value, unit, uncertainty: 1 },
        secondaryDrop: { value: value + 0.1, unit, uncertainty: 1 },
      },
      limits: [],
    });
    const results = (['pass', 'marginal', 'fail', 'not judged'] as const).flatMap((verdict) => [
      ...Array.from({ length: 99 }, (_, tenths) => dropped(verdict, tenths / 10, 'psi')),
      ...Array.from({ length: 70 }, (_, value) => dropped(verdict, value, 'kPa')),
    ]);
    const times = Array.from({ length: 301 }, (_, seconds) => seconds);
    const answers: readonly Answer[] = [
      ...steps.flatMap((step): Answer[] => [
        { type: 'brief', step, caution: true },
        { type: 'went-back', step },
        { type: 'left', step },
        { type: 'skipped', step, reason: 'no helper' },
      ]),
      ...results.map((result): Answer => ({ type: 'verdict', step: FULL.steps[5]!, result })),
      ...[...cues].flatMap((cue): Answer[] => [
        { type: 'noted', cue },
        // No step waits for words that deny.
        ...(deniedBy(cue) === undefined
          ? [{ type: 'still-needed', step: FULL.steps[0]!, cues: [cue], reading: false } as const]
          : []),
      ]),
      ...times.flatMap((seconds): Answer[] => [
        { type: 'time-left', seconds, asked: true },
        { type: 'time-left', seconds },
        { type: 'hold-not-over', seconds },
      ]),
      { type: 'still-needed', step: FULL.steps[0]!, cues: [], reading: true },
      { type: 'hold-started', seconds: 60 },
      { type: 'window-started' },
      { type: 'call-needles' },
      { type: 'call-needles', again: true },
      { type: 'paused' },
      { type: 'resumed' },
      { type: 'going-on' },
      { type: 'note-taken' },
      { type: 'not-here' },
      { type: 'listens', how: 'openly' },
      { type: 'listens', how: 'when-pressed' },
      ...(['pass', 'marginal', 'incomplete'] as const).map((verdict): Answer => ({
        type: 'finished',
        verdict,
        stopped: false,
        seconds: 700,
      })),
    ];
    expect(tooLong(answers, LONGEST)).toEqual([]);
  });

  it('asks for a measurement anew within 3 s', () => {
    const reasons: readonly RepeatReason[] = [
      'microphone-lost',
      'sound-lost',
      'slept',
      'page-closed',
      'engine-lost',
      'reading-late',
      'conditions-late',
      'paused',
      'contradicted',
      'needles-late',
      'unfit-start',
    ];
    const source = { document: 'any', sure: 'practice' } as const;
    const step = FULL.steps[5]!;
    const condition = { part: 'engine', is: 'off', known: 'must', source } as const;
    const answers: readonly Answer[] = [
      ...reasons.map((because): Answer => ({ type: 'repeat', step, because })),
      ...steps
        .filter(({ kind }) => kind === 'observe')
        .map((each): Answer => ({ type: 'repeat', step: each, because: 'outcome-early' })),
      ...CAB_CUES.map((cue): Answer => ({ type: 'contradicted', step, cue, condition })),
      { type: 'unfit-start', step, condition: { lowestStart: { value: 85, unit: 'psi' }, source } },
      { type: 'unfit-start', step, condition: { circuitsApart: { value: 25, unit: 'psi' }, source } },
      ...steps.flatMap(({ outcomes = [] }) =>
        outcomes
          .filter(isAdverse)
          .flatMap((held) =>
            outcomes.filter((said) => said !== held).map((said): Answer => ({ type: 'sticks', held, said })),
          ),
      ),
    ];
    expect(tooLong(answers, LONGEST_REQUEST)).toEqual([]);
  });

  it('is at most a third of full sentences in a whole check by an operator who waits for the end of all of it', () => {
    const script = fullCabCheckScript(ENGINE_31, { holdSeconds: 60, afterHold: 1_200 });
    const start = startOf({
      rig: ENGINE_31.rig,
      settings: { countAloud: true, stillAfterFail: true, asksWhose: true },
    });
    const [short, full] = (['short', 'full'] as const).map((level) =>
      spokenIn(start, language, script, level, lengthOf),
    );
    const seconds = (spoken: typeof short = []): number => spoken.reduce((sum, { ms }) => sum + ms, 0) / 1000;
    const cautions = (spoken: typeof short = []): readonly string[] =>
      spoken.filter(({ weight }) => weight === 'caution').map(({ words }) => words);
    // They are nearly half of it, and all of them are said, each once.
    expect(cautions(short)).toEqual(
      FULL.steps.flatMap(({ caution, onlyIfFitted }) =>
        caution === undefined || onlyIfFitted !== undefined ? [] : [caution],
      ),
    );
    expect(cautions(full)).toEqual(cautions(short));
    expect(seconds(short)).toBeLessThanOrEqual(seconds(full) / 3);
    // What most of it is about is heard: that both holds and the window run.
    expect(short?.filter(({ words }) => words === 'Hold.' || words === 'Window.')).toHaveLength(3);
  });
});
