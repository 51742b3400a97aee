import { cuesOf, currentStep, isFitted, takesReadings } from '../check/needs.ts';
import type { CheckState } from '../check/state.ts';
import { STEPS_AHEAD } from './catch-up.ts';

/**
 * The grammar rules that a silent examiner listens for: those of the state (`rules`, see `listensFor`), and what belongs to the steps to
 * which a trainee may have gone on without a word.
 */
export function listensAhead(state: CheckState, rules: readonly string[]): readonly string[] {
  const { start, phase, index } = state;
  const step = currentStep(state);
  if (step === undefined || (phase !== 'listening' && phase !== 'holding' && phase !== 'building')) return rules;
  const ahead = start.plan.steps
    .slice(index + 1)
    .filter((next) => isFitted(next, start.rig))
    .slice(0, STEPS_AHEAD);
  const [opening = step.kind, ...cues] = rules;
  const withReadings = takesReadings(step) || !ahead.some(takesReadings) ? opening : 'reading';
  return [...new Set([withReadings, ...cues, ...ahead.flatMap(cuesOf)])];
}
