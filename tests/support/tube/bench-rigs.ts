import { readScenario, type Scenario } from '../../../src/airsystem/scenario.ts';
import engine31 from '../../../src/airsystem/scenarios/engine-31-healthy.json' with { type: 'json' };
import ladder36 from '../../../src/airsystem/scenarios/ladder-36-leaking.json' with { type: 'json' };
import tender34 from '../../../src/airsystem/scenarios/tender-34-slow.json' with { type: 'json' };
import type { Plan, Step } from '../../../src/check/plan.ts';
import fullCabCheck from '../../../src/check/plans/full-cab-check.json' with { type: 'json' };
import morningCheck from '../../../src/check/plans/morning-check.json' with { type: 'json' };
import type { LimitProfile } from '../../../src/judging/profile.ts';
import firePractice from '../../../src/judging/profiles/fire-practice.json' with { type: 'json' };
import type { CabNoise } from '../../../src/cli/operator/operator-sound.ts';
import { problemLine } from '../../../src/units/outcome.ts';
import { WAITS, type Line } from './operator.ts';
import type { TubeOptions } from './tube.ts';

/** A cab without engine noise: the level that keeps the recogniser's silence from being digital. */
export const QUIET: CabNoise = { floorDb: -55, seed: 31 };

const FULL_CAB_CHECK = fullCabCheck as unknown as Plan;
const MORNING_CHECK = morningCheck as unknown as Plan;
const FIRE_PRACTICE = firePractice as unknown as LimitProfile;

const read = (json: object): Scenario => {
  const scenario = readScenario(json, 'scenario.json');
  if (!scenario.ok) throw new Error(problemLine(scenario.problem));
  return scenario.value;
};

const ENGINE_31 = read(engine31);
export const LADDER_36 = read(ladder36);
export const TENDER_34 = read(tender34);

/** A rig that came in with nearly full reservoirs: its first filling takes seconds. */
function nearlyFull(scenario: Scenario): Scenario {
  return { ...scenario, id: `${scenario.id}-nearly-full`, startPsi: { primary: 118, secondary: 118 } };
}

/** A plan with these steps only. */
export function stepsOf(plan: Plan, ...ids: readonly string[]): Plan {
  const steps: readonly Step[] = plan.steps.filter(({ id }) => ids.includes(id));
  return { ...plan, id: 'some-steps', title: 'Some steps', steps };
}

/** A whole check on Engine 31 by a patient operator in a quiet cab, who is answered in writing. */
export const WHOLE_CHECK: TubeOptions = {
  scenario: ENGINE_31,
  plan: FULL_CAB_CHECK,
  profile: FIRE_PRACTICE,
  voice: 'rms',
  pace: WAITS,
  noise: QUIET,
  settings: { voice: false },
};

/** Two minutes of sound: a cut-out, one hold of 60 s, and what moves the check on. */
export const ONE_HOLD: TubeOptions = {
  ...WHOLE_CHECK,
  scenario: nearlyFull(ENGINE_31),
  plan: stepsOf(MORNING_CHECK, 'approach', 'governor-cut-out', 'static-leakage'),
  longest: 6 * 60_000,
};

/** Three quarters of a minute of sound: a hold of 20 s alone, which is as long as its limits ask, in five callouts. */
export const LONE_HOLD: TubeOptions = {
  ...ONE_HOLD,
  plan: shortHolds(stepsOf(MORNING_CHECK, 'static-leakage'), 20),
  profile: {
    ...FIRE_PRACTICE,
    tests: FIRE_PRACTICE.tests.map((test) => (test.holdSeconds === undefined ? test : { ...test, holdSeconds: 20 })),
  },
};

/** A quarter of a minute of sound: a hold of 5 s on a rig whose leaks show within them, asked about before it fails. */
export const SHORT_HOLD: TubeOptions = {
  ...WHOLE_CHECK,
  scenario: {
    ...nearlyFull(ENGINE_31),
    faults: [
      { kind: 'leak', circuit: 'primary', when: 'always', psiPerMinute: 60 },
      { kind: 'leak', circuit: 'secondary', when: 'always', psiPerMinute: 60 },
    ],
  },
  plan: shortHolds(stepsOf(MORNING_CHECK, 'static-leakage'), 5),
  pace: { ...WAITS, settling: 1_000 },
  ears: ['own'],
  longest: 60_000,
};

/** By script, in the holds of the plan: what is said against what is measured. The rig stands still and has nothing to say in it. */
export function inItsOwnTime(script: readonly Line[], steps: readonly string[]): TubeOptions {
  const plan = stepsOf(FULL_CAB_CHECK, ...steps);
  return { ...SHORT_HOLD, plan, pace: { ...WAITS, script }, longest: 6 * 60_000 };
}

/** The same with holds of 5 s. */
export function spoken(script: readonly Line[], ...steps: readonly string[]): TubeOptions {
  const options = inItsOwnTime(script, steps);
  return { ...options, plan: shortHolds(options.plan, 5) };
}

/** A plan whose holds last so many seconds. */
function shortHolds(plan: Plan, holdSeconds: number): Plan {
  return { ...plan, steps: plan.steps.map((step) => (step.kind === 'hold' ? { ...step, holdSeconds } : step)) };
}
