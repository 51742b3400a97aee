import { describe, expect, it } from 'vitest';
import { nextDeadline } from '../../../src/check/deadline.ts';
import { listensFor } from '../../../src/check/listens-for.ts';
import { advance, startCheck } from '../../../src/check/machine.ts';
import { view } from '../../../src/check/view.ts';
import type { Microphone } from '../../../src/hearing/microphone-port.ts';
import { calloutOf } from '../../../src/running/callout-of.ts';
import type { CheckModel } from '../../../src/running/check-model.ts';
import { checkModel } from '../../../src/running/check-model-of.ts';
import { demoLine, demoMicrophone, demoStart } from '../../../src/running/demo-operator.ts';
import { languageOf } from '../../../src/running/language.ts';
import { loadGrammar } from '../../../src/cli/shared/read-inputs.ts';
import { startOf } from '../check/support/say.ts';

const grammar = await loadGrammar();
if (!grammar.ok) throw new Error(grammar.problem.what);
const language = languageOf(grammar.value);
const start = demoStart(startOf({ settings: { stillAfterFail: true } }));

function modelOf(state: Parameters<typeof view>[0]): CheckModel {
  return checkModel(view(state), start, language);
}

describe('the demo', () => {
  it('is understood line by line, finds its leak and goes through the fork', () => {
    let state = startCheck(start).state;
    let now = 0;
    let forks = 0;
    const said: string[] = [];
    while (state.phase !== 'done' && said.length < 20) {
      const text = demoLine(modelOf(state), now);
      const due = nextDeadline(state);
      now += 2000;
      if (text === undefined) {
        expect(due, 'something it waits for').toBeDefined();
        now = Math.max(now, due!);
        state = advance(state, { type: 'time', at: now }).state;
        continue;
      }
      said.push(text);
      const heard = { text, start: now, end: now + 1000, confidence: 0.95, source: 'voice' as const, words: [] };
      const event = calloutOf(heard, listensFor(state), 'psi', language);
      expect(event.meaning, text).toBeDefined();
      now += 1000;
      const { state: next, answers } = advance(state, event);
      state = next;
      forks += answers.filter(({ type }) => type === 'fork').length;
    }
    expect(said).toHaveLength(8);
    expect(forks).toBe(1);
    expect(state.records.map(({ id, result }) => [id, result.verdict])).toEqual([
      ['static-leakage', 'fail'],
      ['low-air-warning', 'pass'],
    ]);
  });

  it('speaks when the tool is silent, and hears itself for as long as it speaks', () => {
    let now = 0;
    let speaking = true;
    let tick = (): void => undefined;
    let sounds = 0;
    const played: number[] = [];
    const model = modelOf(startCheck(start).state);
    const microphone: Microphone = demoMicrophone(
      {
        steady: () => now,
        every: (_ms, each) => {
          tick = each;
          return () => (tick = () => undefined);
        },
        clip: () => ({ samples: new Float32Array(16_000).fill(0.5), rate: 16_000 }),
        play: () => played.push(now),
        check: () => ({ model, now, speaking }),
      },
      {
        sound: (samples) => (sounds += samples.filter((sample) => sample !== 0).length),
        gap: () => undefined,
        state: () => undefined,
        problem: () => undefined,
      },
    );
    const pass = (ms: number): void => {
      for (let left = ms; left > 0; left -= 100) {
        now += 100;
        tick();
      }
    };
    pass(3000);
    expect(played).toEqual([]);
    speaking = false;
    pass(3000);
    expect(played).toHaveLength(1);
    expect(sounds).toBe(16_000);
    // It was not understood: it is said again, and not before one would.
    pass(7000);
    expect(played).toHaveLength(2);
    expect(played[1]! - played[0]!).toBeGreaterThan(5000);
    microphone.stop();
    pass(10_000);
    expect(played).toHaveLength(2);
  });
});
