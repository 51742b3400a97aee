import type { Answer } from '../../check/answer.ts';
import type { LevelId } from '../level.ts';

/** What would tell how the rig is, or sound like the end of a check: never said in a rehearsal of the walk. */
const NEVER: readonly Answer['type'][] = ['verdict', 'finished', 'fork', 'open-defects'];
const BRIEFING: readonly Answer['type'][] = ['brief', 'passed-over', 'still-needed'];
/** All that a silent examiner says. */
const COURTESY: readonly Answer['type'][] = [
  ...(['ask-skip-reason', 'skipped', 'went-back', 'paused', 'resumed', 'ask-stop'] as const),
  ...(['going-on', 'ask-note', 'note-taken'] as const),
];

/** The answers that the trainee hears at a level. What is called bad is read back without its class, which is for the trainee to tell. */
export function spokenOnWalk(level: LevelId, answers: readonly Answer[]): readonly Answer[] {
  return answers.flatMap((answer): Answer[] => {
    if (NEVER.includes(answer.type) || (level === 'silent' && !COURTESY.includes(answer.type))) return [];
    if (level === 'prompted' && BRIEFING.includes(answer.type)) return [];
    return answer.type === 'item-bad' ? [{ type: 'items-noted', said: [answer.item], left: 0 }] : [answer];
  });
}
