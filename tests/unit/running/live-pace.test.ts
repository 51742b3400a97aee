import { describe, expect, it } from 'vitest';
import type { TalkLevel } from '../../../src/answering/level.ts';
import type { StartEvent } from '../../../src/check/event.ts';
import { beginRun, passTime, take } from '../../../src/running/check-run.ts';
import { languageOf } from '../../../src/running/language.ts';
import { LIVE_AFTER_HOLD, livePace } from '../../../src/running/live-pace.ts';
import { loadGrammar, loadPlan, loadProfile } from '../../../src/cli/shared/read-inputs.ts';
import { withHolds } from '../../../src/rehearsal/short-holds.ts';
import { fullCabCheckScript, SCENARIOS, type Scenario } from '../../../src/rehearsal/synthetic-operator-script.ts';
import { layOut } from '../../../src/rehearsal/synthetic-operator.ts';

async function liveCheck(scenario: Scenario, holdSeconds: number, level: TalkLevel) {
  const grammar = await loadGrammar();
  if (!grammar.ok) throw new Error(grammar.problem.what);
  const plan = await loadPlan('full-cab-check', grammar.value);
  const profile = await loadProfile('fire-practice');
  if (!plan.ok || !profile.ok) throw new Error('no plan or profile');
  const start: StartEvent = {
    type: 'start',
    at: 0,
    wall: '2026-05-04T06:30:00.000Z',
    ...withHolds(plan.value, profile.value, holdSeconds),
    rig: scenario.rig,
    operator: 'A. Okafor',
    asking: 'ask',
  };
  const script = fullCabCheckScript(scenario, { holdSeconds, afterHold: LIVE_AFTER_HOLD });
  const said = layOut(script, { ...livePace(start, grammar.value, level), speechLength: (text) => text.length * 80 });
  const language = languageOf(grammar.value);
  let run = beginRun(start);
  for (const { at, end, text } of said) {
    run = passTime(run, at);
    run = take(run, { start: at, end, text, confidence: 1, source: 'voice' }, language);
  }
  return { said, state: run.state };
}

describe('a live check of a synthetic operator', () => {
  it.each(SCENARIOS)('takes every callout of $id and comes to the verdict of its needles', async (scenario) => {
    for (const holdSeconds of [5, 60]) {
      const { state } = await liveCheck(scenario, holdSeconds, 'full');
      expect(state.callouts.filter((callout) => !callout.taken)).toEqual([]);
      // Only the applied hold of Ladder 36 is outside a limit: 10 psi, where 3 are allowed (common practice).
      expect(state.verdict).toBe(scenario.confirms.length > 0 ? 'fail' : 'pass');
    }
  });

  it('waits longer where the tool has more to say', async () => {
    const [scenario] = SCENARIOS;
    const full = await liveCheck(scenario!, 5, 'full');
    const short = await liveCheck(scenario!, 5, 'short');
    expect(short.said.at(-1)!.end).toBeLessThan(full.said.at(-1)!.end);
    // The next step's brief follows "ignition on", so that the pause after it is longer than after "chocks set".
    const gap = (i: number): number => full.said[i + 1]!.at - full.said[i]!.end;
    expect(gap(3)).toBeGreaterThan(gap(0) + 1000);
  });
});
