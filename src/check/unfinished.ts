import { isOfCab } from '../judging/condition.ts';
import type { RepeatReason } from './answer.ts';
import { buildWindow } from './build-window.ts';
import { cueWords } from './cue-words.ts';
import { conditionWords } from './conditions.ts';
import { runningHold } from './hold.ts';
import { currentStep, needsOf } from './needs.ts';
import type { CheckState, Spoiled } from './state.ts';

const REPEATED: Readonly<Record<RepeatReason, string>> = {
  'microphone-lost': 'the microphone was lost',
  'sound-lost': 'some sound was lost',
  slept: 'the device slept or its time of day was changed',
  'page-closed': 'the page was closed',
  'engine-lost': 'hearing stopped',
  'reading-late': 'the needles came later than any hold may last',
  'conditions-late': 'its conditions were called too late',
  paused: 'the check was paused',
  contradicted: 'a condition did not hold',
  'needles-late': 'the needles came too long after the moment they belong to',
  'outcome-early': 'what was seen or felt was called before what it rests on',
  'unfit-start': 'the hold could not begin with those needles',
};

/** "“engine started” was called, and the engine has to be off". */
function spoiledWords({ condition, by }: Spoiled): string {
  const asked = isOfCab(condition)
    ? `the condition is ${conditionWords(condition)}`
    : `it has to begin with ${conditionWords(condition)}`;
  return by === undefined ? asked : `“${by.heard}” was called, and ${asked}`;
}

/** Why the step under way has no verdict when the check ends in it: what its measurement still lacked, in words. */
export function unfinishedBecause(state: CheckState): string {
  const step = currentStep(state);
  const { progress, start } = state;
  if (progress.spoiled !== undefined)
    return `not finished: ${spoiledWords(progress.spoiled)}; it was not repeated to its end`;
  if (runningHold(step, progress, start.rig) !== undefined)
    return `not finished: no needles were called when the hold of ${String(step?.holdSeconds)} s was over`;
  if (buildWindow(step, progress.readings).lower !== undefined)
    return `not finished: both needles were not called at ${String(step?.to?.value)} ${String(step?.to?.unit)}`;
  if (progress.repeatBecause !== undefined)
    return `not finished: ${REPEATED[progress.repeatBecause]}, and it was not repeated`;
  const missing = step === undefined ? [] : needsOf(step, progress, start.rig).cues;
  const isTimed = step?.kind === 'hold' || step?.kind === 'build';
  if (isTimed && missing.length === 0 && progress.latest !== undefined)
    return 'not finished: the needles were called before what they have to be read under';
  return missing.length > 0 &&
    (progress.cues.length > 0 || progress.outcome !== undefined || progress.latest !== undefined)
    ? `not finished: ${missing.map((cue) => `“${cueWords(cue)}”`).join(', ')} not called`
    : 'not finished';
}
