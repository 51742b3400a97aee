import type { Controls } from '../airsystem/controls.ts';
import type { Fault } from '../airsystem/fault.ts';
import type { Scenario } from '../airsystem/scenario.ts';
import { faultsFor } from '../airsystem/scenario.ts';
import type { Answer } from '../check/answer.ts';
import { nextDeadline } from '../check/deadline.ts';
import type { CalloutEvent, CheckEvent, StartEvent } from '../check/event.ts';
import { advance, startCheck } from '../check/machine.ts';
import { currentStep, needsOf } from '../check/needs.ts';
import type { Plan } from '../check/plan.ts';
import type { CheckState } from '../check/state.ts';
import { view } from '../check/view.ts';
import type { LimitProfile } from '../judging/profile.ts';
import type { Ms } from '../units/time.ts';
import type { Cab } from './cab.ts';
import { openCab, runCab } from './cab.ts';
import { catchUp } from './catch-up.ts';
import { LEVEL, spokenAt, type LevelId } from './level.ts';
import { withDifferential } from './rehearsal-profile.ts';
import { rigSettingsOf } from './rig-settings.ts';

export interface RehearsalSetup {
  readonly scenario: Scenario;
  /** Picks among hidden faults; the scenario's own when absent. */
  readonly seed?: number;
  readonly level: LevelId;
  readonly plan: Plan;
  readonly profile: LimitProfile;
  readonly trainee: string;
  /** ISO 8601, when it begins. */
  readonly wall: string;
  /** See `Cab`. */
  readonly stepMs?: Ms;
}

/** A rehearsal under way: cab and check side by side on one clock, from 0. Plain data; the same inputs give the same rehearsal. */
export interface Rehearsal {
  readonly setup: RehearsalSetup;
  readonly faults: readonly Fault[];
  readonly cab: Cab;
  readonly check: CheckState;
  /** All events of the check, from its start; `replay` of them gives `check` again. */
  readonly log: readonly CheckEvent[];
  /** Step for which a prompt was given. */
  readonly prompted?: string;
}

/** A rehearsal and what is spoken on reaching it, at its level. */
export interface RehearsalTurn {
  readonly rehearsal: Rehearsal;
  readonly answers: readonly Answer[];
}

/** The start of the check that belongs to a rehearsal; it knows nothing of the faults. */
export function rehearsalStart({ scenario, level, plan, profile, trainee, wall }: RehearsalSetup): StartEvent {
  return {
    type: 'start',
    at: 0,
    wall,
    plan,
    profile: withDifferential(profile),
    rig: rigSettingsOf(scenario.rig),
    operator: trainee,
    asking: LEVEL[level].asking,
  };
}

/** A parked rig, a check at its first step, and the first brief where the level has one. */
export function beginRehearsal(setup: RehearsalSetup): RehearsalTurn {
  const faults = faultsFor(setup.scenario, setup.seed);
  const start = rehearsalStart(setup);
  const { state, answers } = startCheck(start);
  return {
    rehearsal: { setup, faults, cab: openCab(setup.scenario, faults, setup.stepMs), check: state, log: [start] },
    answers: spokenAt(setup.level, answers),
  };
}

/**
 * Lets the clock run to `to` ms with the controls held, and tells the check of each deadline passed on the way.
 * Throws when `to` lies before the clock.
 */
export function advanceRehearsal(rehearsal: Rehearsal, to: Ms, controls: Controls): RehearsalTurn {
  let next: Rehearsal = { ...rehearsal, cab: runCab(rehearsal.cab, controls, to) };
  const answers: Answer[] = [];
  for (let due = nextDeadline(next.check); due !== undefined && due <= to; due = nextDeadline(next.check)) {
    const turn = take(next, { type: 'time', at: due });
    next = turn.rehearsal;
    answers.push(...turn.answers);
  }
  const prompt = promptDue(next);
  if (prompt === undefined) return { rehearsal: next, answers };
  return { rehearsal: { ...next, prompted: prompt.step.id }, answers: [...answers, prompt] };
}

/** Takes what was called; its words lie at or before the clock of the cab. */
export function callOut(rehearsal: Rehearsal, callout: CalloutEvent): RehearsalTurn {
  const put = LEVEL[rehearsal.setup.level].goesOn ? catchUp(rehearsal.check, callout) : [];
  let next = rehearsal;
  const answers: Answer[] = [];
  for (const event of [...put, callout]) {
    const turn = take(next, event);
    next = turn.rehearsal;
    // Steps left out by the examiner are no answer to the trainee.
    if (event === callout) answers.push(...turn.answers);
  }
  return { rehearsal: next, answers };
}

/** Ends the rehearsal where it stands; what was not done is unfinished. */
export function endRehearsal(rehearsal: Rehearsal): RehearsalTurn {
  return take(rehearsal, { type: 'end', at: rehearsal.cab.at });
}

function take(rehearsal: Rehearsal, event: CheckEvent): RehearsalTurn {
  const { state, answers } = advance(rehearsal.check, event);
  return {
    rehearsal: { ...rehearsal, check: state, log: [...rehearsal.log, event] },
    answers: spokenAt(rehearsal.setup.level, answers),
  };
}

/** What is still needed, when the level prompts and nothing has been called for so long; not while a hold or a question runs. */
export function promptDue({
  setup,
  check,
  cab,
  prompted,
}: Pick<Rehearsal, 'setup' | 'check' | 'cab' | 'prompted'>): Extract<Answer, { type: 'still-needed' }> | undefined {
  const { promptAfter } = LEVEL[setup.level];
  const step = currentStep(check);
  if (promptAfter === undefined || step === undefined || step.id === prompted || check.phase !== 'listening')
    return undefined;
  if (view(check).hold !== undefined || cab.at < (check.callouts.at(-1)?.end ?? 0) + promptAfter) return undefined;
  const { cues, outcomes, reading, cuesAfter } = needsOf(step, check.progress, check.start.rig);
  return { type: 'still-needed', step, cues: [...cues, ...outcomes, ...(reading ? [] : cuesAfter)], reading };
}
