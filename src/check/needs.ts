import type { RigSettings } from '../judging/result.ts';
import type { Step } from './plan.ts';
import { buildWindow } from './build-window.ts';
import type { CheckState, Progress } from './state.ts';

/** The step under way; undefined when all are behind us. */
export function currentStep(state: CheckState): Step | undefined {
  return state.start.plan.steps[state.index];
}

/** False for a step that is no part of the check on this rig. */
export function isFitted(step: Step, rig: RigSettings): boolean {
  return step.onlyIfFitted === undefined || rig.fitted?.[step.onlyIfFitted] === true;
}

export function takesReadings(step: Step): boolean {
  return step.kind !== 'confirm' && step.kind !== 'observe' && step.kind !== 'items';
}

/** All cues that have a meaning in the step, waited for or not. */
export function cuesOf(step: Step): string[] {
  return [...step.cues, ...(step.outcomes ?? []), ...(step.cuesAfter ?? [])];
}

/** What a step still waits for. */
export interface Needs {
  /** Before the readings: in a hold these are its conditions. */
  readonly cues: readonly string[];
  /** Any one of these. */
  readonly outcomes: readonly string[];
  readonly reading: boolean;
  readonly cuesAfter: readonly string[];
}

const NONE: readonly string[] = [];

export function needsOf(step: Step, progress: Progress, rig: RigSettings): Needs {
  return {
    cues: unheard(step.cues, step, progress, rig),
    outcomes: progress.outcome === undefined ? (step.outcomes ?? NONE) : NONE,
    reading: !readingsComplete(step, progress),
    cuesAfter: unheard(step.cuesAfter ?? NONE, step, progress, rig),
  };
}

export function isComplete(needs: Needs): boolean {
  return needs.cues.length === 0 && needs.outcomes.length === 0 && !needs.reading && needs.cuesAfter.length === 0;
}

/** True when every cue that has to come before the readings of a hold has been heard. */
export function conditionsMet(step: Step, progress: Progress, rig: RigSettings): boolean {
  return unheard(step.cues, step, progress, rig).length === 0;
}

export function readingsComplete(step: Step, progress: Progress): boolean {
  switch (step.kind) {
    case 'confirm':
    case 'observe':
      return true;
    case 'reading':
    case 'event':
      return progress.readings.length > 0;
    case 'hold':
      return progress.readings.length > 1 || progress.over === true;
    case 'build':
      return buildWindow(step, progress.readings).upper !== undefined;
    // Never by what other steps go by: a place is done by its items alone, see `isPlaceDone`.
    case 'items':
      return false;
  }
}

function unheard(cues: readonly string[], step: Step, progress: Progress, rig: RigSettings): readonly string[] {
  return cues.filter((cue) => !progress.cues.includes(cue) && !isWaived(cue, step, rig));
}

function isWaived(cue: string, step: Step, rig: RigSettings): boolean {
  const equipment = step.cueIfFitted?.[cue];
  return equipment !== undefined && rig.fitted?.[equipment] === false;
}
