import type { CalloutEvent } from '../../../src/check/event.ts';
import type { Ms } from '../../../src/units/time.ts';
import type { Said } from './operator.ts';
import type { TubeRun } from './tube.ts';

/** An edge of a hold or window, and how far the log has it from the sound. */
export interface Edge {
  readonly text: string;
  readonly mark: NonNullable<Said['mark']>;
  /** Time in the log minus time in the sound, ms. */
  readonly error: Ms;
}

/** Every edge of a hold or window that was said and is in the log. A hold opens where words end; all other edges are onsets. */
export function edgesOf(run: TubeRun): Edge[] {
  return run.said.flatMap((said) => {
    if (said.mark === undefined) return [];
    const callout = calloutOf(run, said);
    if (callout === undefined) return [];
    const offset = offsetAt(run, said.at);
    const error = said.mark === 'before' ? callout.end + offset - said.end : callout.at + offset - said.at;
    return [{ text: said.text, mark: said.mark, error }];
  });
}

/** The callout that was heard of something said; undefined when none was. */
export function calloutOf(run: TubeRun, { at, end }: Said): CalloutEvent | undefined {
  const offset = offsetAt(run, at);
  const page = run.pages.findLastIndex(({ from }) => from <= at);
  let opened = 0;
  return run.events.find((event): event is CalloutEvent => {
    // Each page goes on where the log of the one before ends: the same time of the check is another moment in it.
    if (event.type === 'interrupted' && event.why === 'page-closed') opened += 1;
    if (event.type !== 'callout' || event.source !== 'voice' || opened !== page) return false;
    return event.at + offset < end && event.end + offset > at;
  });
}

function offsetAt({ pages }: TubeRun, at: Ms): Ms {
  return pages.findLast(({ from }) => from <= at)?.offset ?? 0;
}
