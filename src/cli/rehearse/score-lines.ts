import type { CoachReport } from '../../rehearsal/coach.ts';
import { LEVEL } from '../../rehearsal/level.ts';
import type { Rehearsal } from '../../rehearsal/rehearsal.ts';
import type { Ms } from '../../units/time.ts';

const RULE = '─'.repeat(100);
const FAULT = { called: 'called', missed: 'NOT CALLED', hidden: 'too small to show in this check' } as const;

/** The score sheet for people: a line per step, the findings by time, what was wrong with the rig. */
export function scoreSheet({ setup, check, cab }: Rehearsal, report: CoachReport): string {
  const { scenario, level } = setup;
  const titles = new Map(report.steps.map(({ step, title }) => [step, title]));
  return [
    `${scenario.title} · ${scenario.rig.name} · ${LEVEL[level].title}`,
    RULE,
    `${'Step'.padEnd(36)}${'Score'.padStart(5)}   Verdict as called`,
    RULE,
    ...report.steps.map(({ title, score, verdict }) => `${title.padEnd(36)}${String(score).padStart(5)}   ${verdict}`),
    RULE,
    `${'Whole rehearsal'.padEnd(36)}${String(report.score).padStart(5)}   ${check.verdict ?? 'incomplete'}, ${clock(cab.at)} simulated`,
    '',
    ...(report.findings.length === 0
      ? ['Nothing to find: all was called right.']
      : report.findings.map(
          ({ at, kind, step, what }) => `${clock(at)}  ${titles.get(step) ?? step}: ${what} (${kind})`,
        )),
    '',
    ...(report.faults.length === 0
      ? ['The rig had no fault.']
      : report.faults.map(
          ({ words, outcome, steps }) =>
            `Fault: ${words}; ${FAULT[outcome]}${steps.length === 0 ? '' : ` (${steps.map((step) => titles.get(step) ?? step).join(', ')})`}.`,
        )),
    '',
    'A simulated rig, nothing more: on a real one local codes, the maker’s manual and licensed technicians come first.',
  ].join('\n');
}

function clock(ms: Ms): string {
  const seconds = Math.floor(ms / 1000);
  return `${String(Math.floor(seconds / 60)).padStart(2, '0')}:${String(seconds % 60).padStart(2, '0')}`;
}
