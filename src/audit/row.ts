import type { CheckHead, HeadFigure, HeadRemark, HeadStep } from '../record/record-store.ts';

/** What an officer finds checks by: one row per check. */
export interface Row {
  readonly id: string;
  readonly rigId: string;
  readonly rigName: string;
  /** ISO 8601. */
  readonly date: string;
  readonly operator: string;
  readonly plan: string;
  readonly verdict: NonNullable<CheckHead['verdict']>;
  readonly steps: readonly HeadStep[];
  readonly remarks: readonly HeadRemark[];
  /** Officers who have countersigned. */
  readonly signed: readonly string[];
  /** None of them with a key of their own. */
  readonly nameOnly: boolean;
  /** What was wrong with the log when it came in, in one sentence. */
  readonly trouble?: string;
  readonly imported: boolean;
  /** With which key it was sealed; absent of checks that were kept without a chain. */
  readonly log?: NonNullable<CheckHead['log']>;
  /** Everything that text is looked for in, in lower case. */
  readonly text: string;
}

/** The row of a check that is over; undefined of one that still runs. */
export function rowOf(head: CheckHead): Row | undefined {
  if (head.state === 'running') return undefined;
  const { id, rigId, rigName, operator, planTitle, trouble, log } = head;
  const verdict = head.verdict ?? 'incomplete';
  const signed = head.countersigned ?? [];
  const remarks = head.remarks ?? [];
  const words = [rigName, head.startedAt, operator, planTitle, verdict, trouble ?? '', ...signed];
  const said = remarks.flatMap(({ officer, text }) => [officer, text]);
  return {
    id,
    rigId,
    rigName,
    date: head.startedAt,
    operator,
    plan: planTitle,
    verdict,
    steps: head.steps ?? [],
    remarks,
    signed,
    nameOnly: head.nameOnly === true,
    ...(trouble === undefined ? {} : { trouble }),
    imported: head.imported === true,
    ...(log === undefined ? {} : { log }),
    text: [...words, ...said].join('\n').toLowerCase(),
  };
}

/** The rows of heads, in their order. */
export function rowsOf(heads: readonly CheckHead[]): Row[] {
  return heads.flatMap((head) => rowOf(head) ?? []);
}

/** The figure of a step, when the check has it. */
export function figureOf(row: Row, step: string, name: HeadFigure['name']): HeadFigure | undefined {
  return row.steps.find(({ id }) => id === step)?.figures?.find((figure) => figure.name === name);
}
