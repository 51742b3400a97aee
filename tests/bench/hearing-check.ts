import fullCabCheck from '../../src/check/plans/full-cab-check.json' with { type: 'json' };
import firePractice from '../../src/judging/profiles/fire-practice.json' with { type: 'json' };
import type { CalloutEvent, StartEvent } from '../../src/check/event.ts';
import { listensFor } from '../../src/check/listens-for.ts';
import { advance, startCheck } from '../../src/check/machine.ts';
import { cuesOf } from '../../src/check/needs.ts';
import type { Plan } from '../../src/check/plan.ts';
import type { CheckState } from '../../src/check/state.ts';
import type { Meaning, SpokenReading } from '../../src/grammar/meaning.ts';
import type { LimitProfile } from '../../src/judging/profile.ts';
import type { Ms } from '../../src/units/time.ts';

/** What a check makes of the callouts that one spoken reading came as. */
export interface Treated {
  /** A question was raised, or one needle still lacks. */
  readonly asked: boolean;
  /** The needles that were taken without a question. */
  readonly taken: SpokenReading;
  /** A cue was taken beside them, without a question. */
  readonly cue: boolean;
}

/** The rules of the step whose closing reading is spoken. */
export const HOLD_RULES = rulesOfStep('static-leakage');

const HOLD_MS = 61_000;

/** The steps that wait for cues, and the ids of those. Their fitted parts only. */
export const CUE_STEPS: readonly { readonly step: string; readonly cues: readonly string[] }[] = (
  fullCabCheck as unknown as Plan
).steps
  .filter(({ id }) => id !== 'hand-valve-test')
  .map((step) => ({ step: step.id, cues: cuesOf(step) }))
  .filter(({ cues }) => cues.length > 0);

/** What a step listens for when it begins. */
export function rulesOfStep(step: string): string[] {
  return listensFor(opened(checkOf(step)));
}

/** A reading where nothing was read before and no limit applies: only the confidence and the dial's end can raise a question. */
export function plainReading(heard: readonly CalloutEvent[]): Treated {
  return treated(told(opened(checkOf('refill')), { cues: ['cut-out'] }), heard);
}

/** The reading that closes a hold of 60 s, whose first reading was what the needles show now: a drop or a rise raises a question. */
export function closingReading(heard: readonly CalloutEvent[], truth: SpokenReading): Treated {
  let state = opened(checkOf('static-leakage'));
  for (const cue of ['engine-off', 'brakes-released', 'settled']) state = told(state, { cues: [cue] });
  state = told(state, { cues: [], reading: truth });
  state = advance(state, { type: 'time', at: HOLD_MS }).state;
  return treated(state, heard.map(later(HOLD_MS)));
}

/** The first reading of a hold, 40 s after the needles were called at the governor's cut-out. */
export function openingReading(heard: readonly CalloutEvent[], truth: SpokenReading): Treated {
  let state = opened(checkOf('refill', 'static-leakage'));
  state = told(state, { cues: ['cut-out'], reading: truth });
  for (const cue of ['engine-off', 'brakes-released', 'settled']) state = told(state, { cues: [cue] });
  return treated(state, heard.map(later(40_000)));
}

/** What a cue says that is called in a step of which nothing was called yet: taken, asked about, or neither. */
export function calledCue(step: string, cue: CalloutEvent): 'taken' | 'asked' | 'nothing' {
  const { state, answers } = advance(opened(checkOf(step)), cue);
  if (answers.some(({ type }) => type === 'question' || type === 'whose')) return 'asked';
  return state.callouts.at(-1)?.taken === true ? 'taken' : 'nothing';
}

function later(ms: Ms): (event: CalloutEvent) => CalloutEvent {
  return (event) => ({ ...event, at: event.at + ms, end: event.end + ms });
}

function treated(begun: CheckState, heard: readonly CalloutEvent[]): Treated {
  let state = begun;
  let taken: SpokenReading = {};
  let cue = false;
  for (const event of heard) {
    const { state: after, answers } = advance(state, event);
    state = after;
    // What is said next would be the answer, which nobody gives here.
    if (answers.some(({ type }) => type === 'question')) return { asked: true, taken, cue };
    if (after.callouts.at(-1)?.taken !== true) continue;
    taken = { ...taken, ...event.meaning?.reading };
    cue ||= (event.meaning?.cues.length ?? 0) > 0;
  }
  return { asked: state.progress.half !== undefined, taken, cue };
}

function checkOf(...steps: readonly string[]): StartEvent {
  const plan = fullCabCheck as unknown as Plan;
  return {
    type: 'start',
    at: 0,
    wall: '2026-05-04T07:30:00Z',
    plan: { ...plan, steps: plan.steps.filter(({ id }) => steps.includes(id)) },
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
