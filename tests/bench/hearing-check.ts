import fullCabCheck from '../../src/check/plans/full-cab-check.json' with { type: 'json' };
import firePractice from '../../src/judging/profiles/fire-practice.json' with { type: 'json' };
import type { CalloutEvent, StartEvent } from '../../src/check/event.ts';
import { listensFor } from '../../src/check/listens-for.ts';
import { advance, startCheck } from '../../src/check/machine.ts';
import type { Plan } from '../../src/check/plan.ts';
import type { CheckState } from '../../src/check/state.ts';
import type { Meaning, SpokenReading } from '../../src/grammar/meaning.ts';
import type { LimitProfile } from '../../src/judging/profile.ts';

/** What a check makes of one spoken reading: read back and taken, asked about, or not a reading to it. */
export type Outcome = 'taken' | 'asked' | 'nothing';

/** The rules of the step whose closing reading is spoken. */
export const HOLD_RULES = listensFor(opened(checkOf('static-leakage')));

const HOLD_MS = 61_000;

/** A reading where nothing was read before and no limit applies: only the confidence and the dial's end can raise a question. */
export function plainReading(heard: CalloutEvent): Outcome {
  return outcome(opened(checkOf('refill')), heard);
}

/** The reading that closes a hold of 60 s, whose first reading was what the needles show now: a drop or a rise raises a question. */
export function closingReading(heard: CalloutEvent, truth: SpokenReading): Outcome {
  let state = opened(checkOf('static-leakage'));
  for (const cue of ['engine-off', 'brakes-released', 'settled']) state = told(state, { cues: [cue] });
  state = told(state, { cues: [], reading: truth });
  state = advance(state, { type: 'time', at: HOLD_MS }).state;
  return outcome(state, { ...heard, at: heard.at + HOLD_MS, end: heard.end + HOLD_MS });
}

function outcome(state: CheckState, heard: CalloutEvent): Outcome {
  const { state: after, answers } = advance(state, heard);
  if (answers.some(({ type }) => type === 'question')) return 'asked';
  return after.callouts.at(-1)?.taken === true ? 'taken' : 'nothing';
}

function checkOf(step: string): StartEvent {
  const plan = fullCabCheck as unknown as Plan;
  return {
    type: 'start',
    at: 0,
    wall: '2026-05-04T07:30:00Z',
    plan: { ...plan, steps: plan.steps.filter(({ id }) => id === step) },
    profile: firePractice as unknown as LimitProfile,
    rig: { id: 'engine-31', name: 'Engine 31', unit: 'psi' },
    operator: 'A. Okafor',
    asking: 'ask',
  };
}

function opened(start: StartEvent): CheckState {
  return startCheck(start).state;
}

function told(state: CheckState, meaning: Meaning): CheckState {
  return advance(state, {
    type: 'callout',
    at: 0,
    end: 0,
    heard: '',
    confidence: 1,
    source: 'touch',
    meaning,
  }).state;
}
