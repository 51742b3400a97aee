import { replay } from '../check/machine.ts';
import type { CheckState, StepRecord } from '../check/state.ts';
import { view, type CheckView } from '../check/view.ts';
import { bad, good, type Outcome } from '../units/outcome.ts';
import { headSteps, officersOf } from './head-lines.ts';
import { checkEvents, type LogFile } from './log.ts';
import type { CheckHead } from './record-store.ts';

/** A log judged again from its events. */
export interface Judged {
  readonly state: CheckState;
  readonly view: CheckView;
}

export type Result = StepRecord['result'];

/**
 * Replays a log. One from elsewhere may hold a plan or a profile that no check of this program could have begun with:
 * that is a problem of the file, not of the program.
 */
export function judgeLog(log: Pick<LogFile, 'entries'>, where: string): Outcome<Judged> {
  try {
    const state = replay(checkEvents(log));
    return good({ state, view: view(state) });
  } catch {
    return bad(
      'The log cannot be judged again: its events are not those of a check that this program can follow.',
      where,
    );
  }
}

/** What the list of checks shows of a log from a file. Undefined when it has no start. */
export function headOfLog(log: LogFile): CheckHead | undefined {
  const start = log.entries.map(({ event }) => event).find((event) => event.type === 'start');
  if (start === undefined) return undefined;
  const judged = judgeLog(log, log.header.check);
  const shown = judged.ok ? judged.value.view : undefined;
  const done = shown?.phase === 'done';
  return {
    id: log.header.check,
    startedAt: start.wall,
    rigId: start.rig.id,
    rigName: start.rig.name,
    operator: start.operator,
    planTitle: start.plan.title,
    ...(start.settings?.examination === true ? { examination: true } : {}),
    // Never `running`: a check of another device is not taken up here.
    state: done ? 'finished' : 'given-up',
    verdict: shown?.verdict ?? 'incomplete',
    steps: headSteps(shown?.results ?? [], checkEvents(log)),
    remarks: officersOf(log.entries.map(({ event }) => event)).remarks ?? [],
    log: log.header,
  };
}
