import type { RepeatReason } from './answer.ts';
import { buildWindow } from './build-window.ts';
import { runningHold } from './hold.ts';
import { currentStep } from './needs.ts';
import type { CheckState } from './state.ts';

const REPEATED: Readonly<Record<RepeatReason, string>> = {
  'microphone-lost': 'the microphone was lost',
  'sound-lost': 'some sound was lost',
  slept: 'the device slept or its time of day was changed',
  'page-closed': 'the page was closed',
  'engine-lost': 'hearing stopped',
  'reading-late': 'the reading came too late',
  'conditions-late': 'its conditions were called too late',
  paused: 'the check was paused',
};

/** Why the step under way has no verdict when the check ends in it: what its measurement still lacked, in words. */
export function unfinishedBecause(state: CheckState): string {
  const step = currentStep(state);
  const { progress, start } = state;
  if (step?.kind === 'hold' && runningHold(step, progress, start.rig) !== undefined)
    return `not finished: no needles were called when the hold of ${String(step.holdSeconds)} s was over`;
  if (step?.kind === 'build' && buildWindow(step, progress.readings).lower !== undefined)
    return `not finished: both needles were not called at ${String(step.to?.value)} ${String(step.to?.unit)}`;
  if (progress.repeatBecause !== undefined)
    return `not finished: ${REPEATED[progress.repeatBecause]}, and it was not repeated`;
  return 'not finished';
}
