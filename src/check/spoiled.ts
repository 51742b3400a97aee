import type { Progress, Spoiled } from './state.ts';

/** The progress of a step whose measurement does not count: its cues stay heard, what was measured is gone. */
export function spoiledProgress(
  progress: Progress,
  because: NonNullable<Progress['repeatBecause']>,
  spoiled?: Spoiled,
): Progress {
  const { cues, latest, cueAt, from, failedBefore, told } = progress;
  return {
    cues,
    readings: [],
    announced: 0,
    repeatBecause: because,
    ...(from === undefined ? {} : { from }),
    ...(latest === undefined ? {} : { latest }),
    ...(cueAt === undefined ? {} : { cueAt }),
    ...(failedBefore === undefined ? {} : { failedBefore }),
    ...(told === undefined ? {} : { told }),
    ...(spoiled === undefined ? {} : { spoiled }),
  };
}
