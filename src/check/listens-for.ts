import { currentStep, cuesOf, isFitted } from './needs.ts';
import type { Step } from './plan.ts';
import type { CheckState } from './state.ts';

/**
 * The grammar rules that the state listens for: an opening of `grammars/steps.jsgf` (which has the commands in it) and
 * the cue ids that fill it. While a reading waits for an answer that nobody can give (recordings), what follows may
 * belong to the next step, so that its cues are heard too.
 */
export function listensFor(state: CheckState): string[] {
  const step = currentStep(state);
  switch (state.phase) {
    case 'done':
      return [];
    case 'paused':
      return ['commands'];
    case 'skipping':
      return ['reasons', ...(step === undefined ? ['commands'] : opening(step, cuesOf(step)))];
    case 'noting':
      return ['anything'];
    case 'asking':
      return step === undefined ? ['commands'] : ['reading', ...new Set([...cuesOf(step), ...nextCues(state)])];
    case 'listening':
    case 'holding':
    case 'building':
    case 'stopping':
      if (step === undefined) return ['commands'];
      // The corrected needles may belong to the step before, and this one may take none.
      return state.restating === undefined ? opening(step, cuesOf(step)) : ['reading', ...cuesOf(step)];
  }
}

function opening(step: Step, cues: readonly string[]): string[] {
  return [step.kind, ...cues];
}

function nextCues({ start, index }: CheckState): string[] {
  if (start.asking === 'ask') return [];
  const next = start.plan.steps.find((step, at) => at > index && isFitted(step, start.rig));
  return next === undefined ? [] : cuesOf(next);
}
