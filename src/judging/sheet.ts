import type { Assessment } from './assess.ts';
import { reasonOf, worst } from './assess.ts';
import type { AppliedLimit, Figure, FigureName, FigureUnit, StepResult, Why } from './result.ts';

/** A figure with what "why?" needs. */
export interface Entry {
  readonly name: FigureName;
  readonly figure: Figure;
  readonly formula: string;
  readonly inputs: Why['inputs'];
  /** Where the uncertainty comes from. */
  readonly error: string;
}

/** What a test measured, before a verdict. */
export interface Sheet {
  readonly entries: readonly Entry[];
  readonly limits: readonly AppliedLimit[];
  readonly assessments: readonly Assessment[];
  readonly missing: readonly string[];
}

export const EMPTY_SHEET: Sheet = { entries: [], limits: [], assessments: [], missing: [] };

export function figure(value: number, unit: FigureUnit, uncertainty: number): Figure {
  return { value, unit, uncertainty };
}

/** A result that says why there is no verdict; the figures that could be computed stay. */
export function notJudged(reason: string, sheet: Sheet = EMPTY_SHEET): StepResult {
  return { verdict: 'not judged', reason, ...content(sheet) };
}

/** A result that rests on the sheet's worst assessment; `reason` replaces the sentence made from it. */
export function judgedBy(decided: Assessment, sheet: Sheet, reason = reasonOf(decided)): StepResult {
  return {
    verdict: decided.verdict,
    reason,
    ...content(sheet),
    margin: { figure: decided.subject.figure, value: decided.margin, unit: decided.limit.unit },
  };
}

function content({
  entries,
  limits,
  assessments,
  missing,
}: Sheet): Pick<StepResult, 'figures' | 'limits' | 'missing' | 'why'> {
  const figures: Partial<Record<FigureName, Figure>> = {};
  const why: Partial<Record<FigureName, Why>> = {};
  for (const entry of entries) {
    figures[entry.name] = entry.figure;
    why[entry.name] = whyOf(entry, limits, assessments);
  }
  return missing.length === 0 ? { figures, limits, why } : { figures, limits, why, missing };
}

function whyOf(entry: Entry, limits: readonly AppliedLimit[], assessments: readonly Assessment[]): Why {
  const nearest = worst(assessments.filter(({ subject }) => subject.figure === entry.name));
  return {
    formula: entry.formula,
    inputs: entry.inputs,
    uncertainty: entry.error,
    limits: limits.filter((limit) => limit.figure === entry.name),
    ...(nearest === undefined ? {} : { margin: { value: nearest.margin, unit: nearest.limit.unit } }),
  };
}
