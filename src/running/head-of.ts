import type { CheckEvent, StartEvent } from '../check/event.ts';
import { replay } from '../check/machine.ts';
import type { CheckView } from '../check/view.ts';
import { view } from '../check/view.ts';
import { headSteps } from '../record/head-lines.ts';
import type { CheckHead } from '../record/record-store.ts';

/** What the list of checks shows of one, with the photos that its events tell of; without a view, of one that has only begun. */
export function headOf(
  id: string,
  start: StartEvent,
  shown: CheckView | undefined,
  events: readonly CheckEvent[] = [],
): CheckHead {
  return {
    id,
    startedAt: start.wall,
    rigId: start.rig.id,
    rigName: start.rig.name,
    operator: start.operator,
    planTitle: start.plan.title,
    ...(start.settings?.examination === true ? { examination: true } : {}),
    state: shown?.phase === 'done' ? 'finished' : 'running',
    ...(shown?.verdict === undefined ? {} : { verdict: shown.verdict }),
    ...(shown === undefined ? {} : { steps: headSteps(shown.results, events) }),
  };
}

/** The head of a check that was left unfinished for good: incomplete, with the verdicts that it has. */
export function givenUpHead(id: string, start: StartEvent, events: readonly CheckEvent[]): CheckHead {
  return { verdict: 'incomplete', ...headOf(id, start, view(replay(events)), events), state: 'given-up' };
}
