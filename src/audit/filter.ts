import type { Row } from './row.ts';

/** What rows are chosen by; what is absent does not matter. */
export interface Filter {
  /** Each word must be in the row's text. */
  readonly text?: string;
  readonly rig?: string;
  readonly operator?: string;
  /** Days, ISO 8601, both included, in the time zone of the rows. */
  readonly from?: string;
  readonly to?: string;
  /** Of the check; of the step, when one is chosen. `not judged` only makes sense of a step. */
  readonly verdict?: string;
  /** Id of a step that the check has. */
  readonly step?: string;
  /** Only checks of rigs that drift; see `driftingRigs`. */
  readonly drifting?: true;
  /** Only checks that no officer has countersigned. */
  readonly unsigned?: true;
  /** Only checks whose log did not verify when it came in. */
  readonly troubled?: true;
}

/** The rows that a filter lets through, in their order. `drifting`: ids of the rigs that drift. */
export function choose(rows: readonly Row[], filter: Filter, drifting: ReadonlySet<string>): Row[] {
  const words = (filter.text ?? '').toLowerCase().split(/\s+/).filter(Boolean);
  return rows.filter((row) => {
    if (filter.rig !== undefined && row.rigId !== filter.rig) return false;
    if (filter.operator !== undefined && row.operator !== filter.operator) return false;
    if (filter.from !== undefined && row.date.slice(0, 10) < filter.from) return false;
    if (filter.to !== undefined && row.date.slice(0, 10) > filter.to) return false;
    if (filter.unsigned === true && row.signed.length > 0) return false;
    if (filter.troubled === true && row.trouble === undefined) return false;
    if (filter.drifting === true && !drifting.has(row.rigId)) return false;
    return hasVerdict(row, filter) && words.every((word) => row.text.includes(word));
  });
}

function hasVerdict(row: Row, { step, verdict }: Filter): boolean {
  if (step === undefined) return verdict === undefined || row.verdict === verdict;
  return row.steps.some(({ id, verdict: judged }) => id === step && (verdict === undefined || judged === verdict));
}

/** What can be chosen from: each value once, by name. */
export interface Choices {
  readonly rigs: readonly { readonly id: string; readonly name: string }[];
  readonly operators: readonly string[];
  readonly steps: readonly { readonly id: string; readonly title: string }[];
}

export function choicesOf(rows: readonly Row[]): Choices {
  const rigs = new Map<string, string>();
  const operators = new Set<string>();
  const steps = new Map<string, string>();
  for (const row of rows) {
    if (!rigs.has(row.rigId)) rigs.set(row.rigId, row.rigName);
    if (row.operator !== '') operators.add(row.operator);
    for (const { id, title } of row.steps) if (id !== undefined && !steps.has(id)) steps.set(id, title);
  }
  return {
    rigs: [...rigs].map(([id, name]) => ({ id, name })).sort((a, b) => a.name.localeCompare(b.name)),
    operators: [...operators].sort((a, b) => a.localeCompare(b)),
    // In the order of the plans.
    steps: [...steps].map(([id, title]) => ({ id, title })),
  };
}
