import type { CheckEvent } from '../../check/event.ts';
import type { StepKind } from '../../check/plan.ts';
import type { CheckState } from '../../check/state.ts';
import type { Meaning } from '../../grammar/meaning.ts';
import type { AppliedLimit, CheckVerdict, StepResult, Verdict } from '../../judging/result.ts';
import type { Ms } from '../../units/time.ts';

export interface ReportedStep {
  readonly id: string;
  readonly title: string;
  readonly kind: StepKind;
  readonly verdict: Verdict;
  readonly reason: string;
  readonly figures: StepResult['figures'];
  readonly limits: readonly AppliedLimit[];
  /** What could not be computed, and which rig setting would allow it. */
  readonly missing?: readonly string[];
  /** What had to be true for the measurement to count, and how it was known. */
  readonly conditions?: StepResult['conditions'];
  /** Of a place of the walk: each of its items. */
  readonly items?: StepResult['items'];
  /** Readings that a live check would have asked about, or asked about, and that were taken all the same. */
  readonly flags?: readonly string[];
}

/** The whole result of a check as `hear --json` prints it; times in ms from the start of the file. */
export interface HearReport {
  readonly plan: string;
  readonly profile: string;
  readonly rig: string;
  readonly verdict: CheckVerdict;
  readonly clock: { readonly start: Ms | null; readonly end: Ms | null; readonly seconds: number | null };
  readonly steps: readonly ReportedStep[];
  readonly callouts: readonly {
    readonly at: Ms;
    readonly end: Ms;
    readonly heard: string;
    readonly confidence: number;
    readonly meaning: Meaning | null;
    readonly taken: boolean;
    readonly unconfirmed?: true;
  }[];
  readonly log: readonly CheckEvent[];
}

const NOT_REACHED = 'The check ended before this step.';

/** Every step of the plan in order, those that were skipped, not fitted or never reached with the reason. */
export function reportOf(state: CheckState, log: readonly CheckEvent[]): HearReport {
  const { plan, profile, rig } = state.start;
  const { start = null, end = null } = state.clock;
  return {
    plan: plan.id,
    profile: profile.id,
    rig: rig.id,
    verdict: state.verdict ?? 'incomplete',
    clock: { start, end, seconds: start === null || end === null ? null : (end - start) / 1000 },
    steps: plan.steps.map(({ id, title, kind }, index) => {
      const result = state.records.find((record) => record.index === index)?.result;
      return {
        id,
        title,
        kind,
        verdict: result?.verdict ?? 'not judged',
        reason: result?.reason ?? NOT_REACHED,
        figures: result?.figures ?? {},
        limits: result?.limits ?? [],
        ...(result?.missing === undefined ? {} : { missing: result.missing }),
        ...(result?.conditions === undefined ? {} : { conditions: result.conditions }),
        ...(result?.items === undefined ? {} : { items: result.items }),
        ...(result?.flags === undefined ? {} : { flags: result.flags }),
      };
    }),
    callouts: state.callouts.map(({ at, end: until, heard, confidence, meaning, taken, unconfirmed }) => ({
      at,
      end: until,
      heard,
      confidence,
      meaning: meaning ?? null,
      taken,
      ...(unconfirmed === undefined ? {} : { unconfirmed }),
    })),
    log,
  };
}

/** Exit status of `hear`: 0 pass or marginal, 1 fail, 3 incomplete. */
export function exitStatus(verdict: CheckVerdict): 0 | 1 | 3 {
  switch (verdict) {
    case 'pass':
    case 'marginal':
      return 0;
    case 'fail':
      return 1;
    case 'incomplete':
      return 3;
  }
}
