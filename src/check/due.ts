import type { Answer } from './answer.ts';
import { currentStep, needsOf } from './needs.ts';
import type { CheckState } from './state.ts';

/**
 * What the operator alone keeps waiting for; undefined where nothing is due, or the rig takes its time: until it has filled, the buzzer sounds
 * or the valve pops, and until a build-up comes to its next pressure.
 */
export function dueNow(state: CheckState): Extract<Answer, { type: 'still-needed' }> | undefined {
  const step = currentStep(state);
  if (step === undefined || step.kind === 'items' || state.phase !== 'listening') return undefined;
  const { cues, outcomes, reading, cuesAfter } = needsOf(step, state.progress, state.start.rig);
  const due = (of: readonly string[], needles: boolean) =>
    ({ type: 'still-needed', step, cues: of, reading: needles }) as const;
  // The needles of a plain reading may be those of before what is done next.
  if (step.kind === 'reading' && reading && outcomes.length === 0) return due([], true);
  if (cues.length > 0) return due(cues, false);
  if (outcomes.length > 0) return state.progress.repeatBecause === 'outcome-early' ? due(outcomes, false) : undefined;
  if (reading) return step.kind === 'build' ? undefined : due([], true);
  return cuesAfter.length > 0 ? due(cuesAfter, false) : undefined;
}
