import type { PressureUnit } from '../units/pressure.ts';
import type { Condition } from './condition.ts';
import type { EngineSpeed, TestId } from './measurement.ts';
import type { FigureUnit, Source } from './result.ts';

/**
 * What a limit of a profile may apply to. `rate` and `reading` mean each circuit alone (figures `primaryRate` and
 * `secondaryRate`, `primary` and `secondary`); the others are the figures of the same name.
 */
export const LIMIT_FIGURES = [
  'reading',
  'rate',
  'cutOut',
  'cutIn',
  'differential',
  'warningAt',
  'activationAt',
  'buildUpTime',
] as const;
export type LimitFigure = (typeof LIMIT_FIGURES)[number];

/** Which limits make sense for which test. */
export const FIGURES_OF_TEST: Readonly<Partial<Record<TestId, readonly LimitFigure[]>>> = {
  'plain-reading': ['reading'],
  'pre-start-fill': ['reading'],
  'governor-cut-out': ['cutOut'],
  'governor-cut-in': ['cutIn', 'differential'],
  'static-leakage': ['rate'],
  'applied-leakage': ['rate'],
  'low-air-warning': ['warningAt'],
  'spring-brake-activation': ['activationAt'],
  'build-up': ['buildUpTime'],
};

export interface Limit {
  readonly figure: LimitFigure;
  readonly min?: number;
  readonly max?: number;
  /** For a build-up: the maximum is this many seconds × actual ÷ required reservoir capacity (49 CFR 571.121 S5.1.1). */
  readonly maxTimesCapacity?: number;
  /** True when the value itself already fails ("less than 2"); false when it still passes ("not more than 2"). */
  readonly strict: boolean;
  readonly unit: FigureUnit;
  readonly condition?: string;
  readonly about?: true;
  readonly source: Source;
}

/** An end of a build-up span: a pressure, or a part of what an earlier test measured. */
export type SpanEnd =
  | { readonly value: number; readonly unit: PressureUnit }
  | { readonly of: 'governor-cut-out' | 'low-air-warning'; readonly times: number };

export interface TestNote {
  readonly text: string;
  readonly source: Source;
}

export interface TestLimits {
  readonly test: TestId;
  /** For leakage: a shorter hold cannot pass. */
  readonly holdSeconds?: number;
  /** For a build-up: the span that the time is for. */
  readonly span?: { readonly from: SpanEnd; readonly to: SpanEnd };
  /** For a build-up: the engine speed that the limit holds at. */
  readonly engineSpeed?: EngineSpeed;
  /** For spring brake activation: it must come below the pressure of the low-air warning. */
  readonly belowWarning?: { readonly source: Source };
  /** What other documents say against the way this one tests; shown wherever the test is briefed. */
  readonly note?: TestNote;
  /** Conditions that the document sets besides those that every test of this kind has. */
  readonly conditions?: readonly Condition[];
  readonly limits: readonly Limit[];
}

/** A named set of limits, each with its source. Files are read by `readProfile`; one in memory is always valid. */
export interface LimitProfile {
  readonly format: 'two-needles-limits';
  readonly version: 1;
  /** Kebab-case. */
  readonly id: string;
  readonly title: string;
  readonly jurisdiction: string;
  readonly edition: string;
  /** Who the limits bind, and what comes before them; shown beside the verdicts. */
  readonly applicability: string;
  readonly tests: readonly TestLimits[];
  /** The documents that have a driver review the last report, and sign where it lists defects; absent where none does. */
  readonly reportReview?: readonly Source[];
  /** What the document also asks and this check does not measure. */
  readonly notMeasured: readonly { readonly what: string; readonly source: Source }[];
}
