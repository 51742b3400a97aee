import { beforeAll, expect, it } from 'vitest';
import type { CheckState } from '../../src/check/state.ts';
import { replay } from '../../src/check/machine.ts';
import { spoken } from '../support/tube/bench-rigs.ts';
import type { TubeHost } from '../support/tube/host.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { runTube, type TubeRun } from '../support/tube/tube.ts';

let host: TubeHost;
beforeAll(async () => {
  host = await nodeHost();
});

const SETTLED = [{ say: 'engine off' }, { say: 'brakes released' }, { say: 'settled' }, { say: 'both one twenty' }];

/** What the operator was told against what was said, in order. */
function toldIn({ answers }: TubeRun): unknown[] {
  return answers.flatMap(({ answer }): unknown[] => {
    if (answer.type === 'contradicted') return [['contradicted', answer.step.id, answer.cue]];
    if (answer.type === 'repeat') return [['repeat', answer.step.id, answer.because]];
    if (answer.type === 'left') return [['left', answer.step.id]];
    if (answer.type === 'question') return [['question', answer.because]];
    if (answer.type === 'hold-not-over') return [['hold-not-over']];
    return answer.type === 'verdict' ? [['verdict', answer.step.id, answer.result.verdict]] : [];
  });
}

function verdictsIn({ records }: CheckState): unknown {
  return Object.fromEntries(records.map(({ id, result }) => [id, result.verdict]));
}

it('an engine started and a drop over the limit in the static hold, brakes released in the applied one: each is heard and told', async () => {
  const script = [
    ...SETTLED,
    { say: 'engine started', after: 1_500 },
    { say: 'engine off' },
    { say: 'settled' },
    { say: 'both one twenty' },
    { say: 'primary one one two', after: 1_500 },
    { say: "yes that's right", after: 2_000 },
    { say: 'brake applied' },
    { say: 'settled' },
    { say: 'both one ten' },
    { say: 'brakes released', after: 1_500 },
    { say: "yes that's right", after: 2_000 },
  ];
  const run = await runTube(host, spoken(script, 'static-leakage', 'applied-leakage'));
  expect(toldIn(run)).toEqual([
    ['contradicted', 'static-leakage', 'engine-started'],
    ['question', 'would-fail'],
    ['verdict', 'static-leakage', 'fail'],
    ['contradicted', 'applied-leakage', 'brakes-released'],
  ]);
  // The applied hold waits to be begun anew.
  const check = replay(run.events);
  expect(verdictsIn(check)).toEqual({ 'static-leakage': 'fail' });
  // What was measured before the engine was started counts for nothing.
  const started = run.said.find(({ text }) => text === 'engine started')?.at ?? Infinity;
  expect(check.records[0]?.progress.readings[0]?.start).toBeGreaterThan(started - (run.pages[0]?.offset ?? NaN));
});

it('a closing call that comes early, a brake applied in the static hold, needles too long after the buzzer, and an engine started at it: none passes', async () => {
  const script = [
    ...SETTLED,
    // A whole second after the first needles: the hold goes on. The needles after that are those of the next step.
    { say: 'both one nineteen', after: 900 },
    { say: 'brake applied' },
    { say: 'settled' },
    { say: 'both one fifteen' },
    { say: 'buzzer', after: 1_500 },
    { say: 'both sixty five', after: 10_300 },
    { say: 'buzzer' },
    // With a needle just before it that is not the last word on the two: the ear still waits for the other one.
    { say: 'primary sixty five' },
    { say: 'engine started' },
  ];
  const run = await runTube(host, spoken(script, 'static-leakage', 'applied-leakage', 'low-air-warning'));
  expect(toldIn(run)).toEqual([
    ['hold-not-over'],
    ['left', 'static-leakage'],
    ['left', 'applied-leakage'],
    ['repeat', 'low-air-warning', 'needles-late'],
    ['contradicted', 'low-air-warning', 'engine-started'],
  ]);
  const check = replay(run.events);
  expect(verdictsIn(check)).toEqual({ 'static-leakage': 'not judged', 'applied-leakage': 'not judged' });
  expect(check.records[0]?.result.reason).toContain('“brake applied” was called');
});
