import type { CheckState } from './state.ts';

/** The grammar rules that the state listens for: an opening of `grammars/steps.jsgf` and the cue ids that fill it. */
export function listensFor(state: CheckState): string[] {
  throw new Error(`not yet: ${state.phase}`);
}
