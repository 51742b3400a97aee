import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { spokenNumber } from '../../../src/rehearsal/synthetic-operator-numbers.ts';
import {
  ENGINE_31,
  fullCabCheckScript,
  LADDER_36,
  SCENARIOS,
} from '../../../src/rehearsal/synthetic-operator-script.ts';
import { layOut, type Utterance } from '../../../src/rehearsal/synthetic-operator.ts';

const speechLength = (text: string): number => text.split(' ').length * 350;

function marked(timeline: readonly Utterance[], mark: string): Utterance {
  return timeline.find((utterance) => utterance.mark === mark)!;
}

describe('the synthetic operator’s timeline', () => {
  const reactions = fc.record({
    holdSeconds: fc.integer({ min: 2, max: 120 }),
    afterHold: fc.integer({ min: 0, max: 9000 }),
  });
  const pace = fc.record({ lead: fc.nat(3000), pause: fc.integer({ min: 200, max: 4000 }), answer: fc.nat(20_000) });

  it('never speaks over itself or over an answer, and keeps the order of the script', () => {
    fc.assert(
      fc.property(fc.constantFrom(...SCENARIOS), reactions, pace, (scenario, reaction, { lead, pause, answer }) => {
        const script = fullCabCheckScript(scenario, reaction);
        const timeline = layOut(script, { lead, pause, speechLength, answerLength: () => answer });
        expect(timeline.map((utterance) => utterance.text)).toEqual(script.map((line) => line.text));
        timeline.slice(1).forEach((utterance, i) => {
          expect(utterance.at - timeline[i]!.end).toBeGreaterThanOrEqual(answer + pause);
        });
      }),
    );
  });

  it('calls the needles after the whole hold, from the end of the first reading’s words', () => {
    fc.assert(
      fc.property(fc.constantFrom(...SCENARIOS), reactions, (scenario, reaction) => {
        const timeline = layOut(fullCabCheckScript(scenario, reaction), { lead: 500, pause: 500, speechLength });
        for (const step of ['static-leakage', 'applied-leakage']) {
          const interval = marked(timeline, `${step} after`).at - marked(timeline, `${step} before`).end;
          expect(interval).toBe(reaction.holdSeconds * 1000 + reaction.afterHold);
        }
      }),
    );
  });

  it('measures the build-up from onset to onset', () => {
    const timeline = layOut(fullCabCheckScript(ENGINE_31, { holdSeconds: 60, afterHold: 0 }), {
      lead: 0,
      pause: 500,
      speechLength,
    });
    expect(marked(timeline, 'build-up upper').at - marked(timeline, 'build-up lower').at).toBe(
      ENGINE_31.buildUpSeconds * 1000,
    );
  });

  it('answers the question about needles that would fail', () => {
    const texts = fullCabCheckScript(LADDER_36, { holdSeconds: 60, afterHold: 0 })
      .filter((line) => line.step === 'applied-leakage')
      .map((line) => line.text);
    expect(texts.at(-1)).toMatch(/^yes/);
  });

  it('refuses a script that waits for a line never said', () => {
    const line = { step: 'refill', text: 'cut out', notBefore: { mark: 'nothing', edge: 'end', ms: 1 } } as const;
    expect(() => layOut([line], { lead: 0, pause: 0, speechLength })).toThrow(/nothing/);
  });
});

describe('spoken numbers', () => {
  // How operators say 105 and 118.5: common practice of the trade, no source.
  it.each([
    [105, 'digits', 'one zero five'],
    [105, 'oh-digits', 'one oh five'],
    [105, 'cardinal', 'one hundred five'],
    [105, 'cardinal-and', 'one hundred and five'],
    [105, 'hundred-less', 'one oh five'],
    [118.5, 'hundred-less', 'one eighteen and a half'],
    [0, 'oh-digits', 'zero'],
    [100, 'hundred-less', 'one hundred'],
    [85, 'digits', 'eight five'],
  ] as const)('%d as %s', (value, form, words) => {
    expect(spokenNumber(value, form)).toBe(words);
  });
});
