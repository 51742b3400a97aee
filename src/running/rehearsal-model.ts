import type { StartEvent } from '../check/event.ts';
import { cuesOf, isFitted } from '../check/needs.ts';
import type { LevelId } from '../rehearsal/level.ts';
import { LEVEL } from '../rehearsal/level.ts';
import type { CheckModel } from './check-model.ts';
import { idInWords } from '../answering/written.ts';

/**
 * What the trainee sees of the check at a level. Below `told` nothing on the screen says what comes next: every cue of the plan is there to
 * be pressed at any time, and needles can always be called. A silent examiner shows neither verdicts, questions about needles, nor how long a hold has run.
 */
export function rehearsalModel(model: CheckModel, level: LevelId, start: StartEvent): CheckModel {
  if (level === 'told') return model;
  const { bar, verdicts, remarks, clock, question, ...rest } = model;
  const isSilent = LEVEL[level].goesOn;
  return {
    ...rest,
    cues: allCues(start).map((cue) => ({ cue, label: idInWords(cue), done: false })),
    wantsReading: true,
    sayable: [],
    remarks: isSilent ? [] : remarks,
    verdicts: isSilent ? [] : verdicts,
    ...(bar === undefined || isSilent ? {} : { bar }),
    // Needles that are asked about have been told to be odd.
    ...(question === undefined || (isSilent && question.kind === 'reading') ? {} : { question }),
    ...(clock === undefined || !LEVEL[level].clock ? {} : { clock }),
  };
}

/** In the order of the plan, each once. */
function allCues({ plan, rig }: StartEvent): readonly string[] {
  return [...new Set(plan.steps.filter((step) => isFitted(step, rig)).flatMap(cuesOf))];
}
