import { csvLine } from '../../record/figures-csv.ts';
import type { CheckHead } from '../../record/record-store.ts';
import type { Past } from './past.ts';

/** One thing that a trainee did: a rehearsal with its score, or a check on a rig, examinations among them, with its verdict. */
export type Done =
  | { readonly kind: 'rehearsal'; readonly wall: string; readonly rehearsal: Past }
  | { readonly kind: 'check'; readonly wall: string; readonly check: CheckHead };

/** All that is kept here of a trainee, the newest first. A check counts when it is over. */
export function doneBy(trainee: string, past: readonly Past[], checks: readonly CheckHead[]): readonly Done[] {
  const all: Done[] = [
    ...past
      .filter((one) => one.trainee === trainee)
      .map((rehearsal): Done => ({ kind: 'rehearsal', wall: rehearsal.wall, rehearsal })),
    ...checks
      .filter(({ operator, state }) => operator === trainee && state !== 'running')
      .map((check): Done => ({ kind: 'check', wall: check.startedAt, check })),
  ];
  return all.sort((one, other) => Date.parse(other.wall) - Date.parse(one.wall));
}

const COLUMNS = ['trainee', 'when', 'kind', 'what', 'level', 'score', 'findings', 'weak steps', 'rig', 'verdict'];

/** The same as a table (RFC 4180), the oldest first; `title` words an id of a scenario or step. */
export function progressCsv(trainee: string, done: readonly Done[], title: (id: string) => string): string {
  const rows = done.toReversed().map((one) => {
    const { kind, wall } = one;
    if (one.kind === 'check') {
      const { planTitle, rigName, verdict, trouble, examination } = one.check;
      const isWhole = trouble === undefined ? (verdict ?? 'incomplete') : `not trusted: ${trouble}`;
      const what = examination === true ? 'examination' : kind;
      return [trainee, wall, what, planTitle, undefined, undefined, undefined, undefined, rigName, isWhole];
    }
    const { scenario, level, score, kinds, steps } = one.rehearsal;
    const weak = steps.filter((step) => step.score < 100).map((step) => `${title(step.step)} ${String(step.score)}`);
    return [trainee, wall, kind, title(scenario), level, score, kinds.length, weak.join('; '), undefined, undefined];
  });
  return [COLUMNS, ...rows].map(csvLine).join('');
}
