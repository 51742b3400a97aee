import { isAdverse } from '../check/cab.ts';
import { contradictionIn } from '../check/conditions.ts';
import type { CalloutEvent } from '../check/event.ts';
import { currentStep } from '../check/needs.ts';
import type { CheckState } from '../check/state.ts';
import type { Command } from '../grammar/meaning.ts';

/** Commands that ask before they do anything, or only take back. */
const HARMLESS: readonly Command[] = ['stop-check', 'say-again'];

/**
 * A callout of which nobody knows whether the operator or the tool said it, as the check may have it: needles so that they are asked about,
 * and the cues that speak against a measurement, which only make it stricter. Undefined for all else, which has to be said again.
 */
export function doubted(callout: CalloutEvent, state: CheckState | undefined): CalloutEvent | undefined {
  const { meaning } = callout;
  const step = state === undefined ? undefined : currentStep(state);
  if (meaning === undefined || state === undefined || step === undefined) return undefined;
  const { command, cues } = meaning;
  const reading = meaning.reading ?? meaning.number;
  if (command !== undefined && HARMLESS.includes(command)) return callout;
  // "To take it back say correction, rig held" is what the tool itself says: no more of it than the bare word, or needles.
  const takesBack = command === 'correction';
  if (takesBack && cues.length === 0 && reading === undefined) return callout;
  const against = cues.filter((cue) => isAdverse(cue) || contradictionIn(step, state.start, [cue]) !== undefined);
  if (against.length > 0 && !takesBack) return { ...callout, meaning: { cues: against } };
  return reading === undefined || cues.length > 0 || (command !== undefined && !takesBack)
    ? undefined
    : { ...callout, agreed: false };
}
