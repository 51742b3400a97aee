import type { Pressure, PressureUnit } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';

export type Verdict = 'pass' | 'marginal' | 'fail' | 'not judged';
export type CheckVerdict = 'pass' | 'marginal' | 'fail' | 'incomplete';

export type FigureName =
  | 'cutOut'
  | 'cutIn'
  | 'differential'
  | 'primaryDrop'
  | 'secondaryDrop'
  | 'primaryRate'
  | 'secondaryRate'
  | 'interval'
  | 'warningAt'
  | 'activationAt'
  | 'buildUpTime'
  | 'primary'
  | 'secondary'
  | 'leakageFlow'
  | 'timeToWarning'
  | 'deliveredFlow'
  | 'deliveredShare'
  | 'buildUpRequirement'
  | 'frontTread'
  | 'rearTread';

export type FigureUnit = PressureUnit | 'psi/min' | 'kPa/min' | 's' | 'l/min' | 'cfm' | 'min' | '%' | '32nds';

export interface Figure {
  readonly value: number;
  readonly unit: FigureUnit;
  /** Expanded uncertainty, k = 2, in the same unit (JCGM 100:2008, 6.2). 0 where nothing limits it. */
  readonly uncertainty: number;
  /** The same value in a second unit that the trade uses (air flow: cfm beside l/min). */
  readonly also?: { readonly value: number; readonly unit: FigureUnit };
}

/** Answers "why?" about a figure. */
export interface Why {
  /** In words, for example "(first reading − second reading) × 60 ÷ interval". */
  readonly formula: string;
  /** The numbers put into the formula. */
  readonly inputs: readonly { readonly name: string; readonly value: number; readonly unit: string }[];
  /** Where the uncertainty comes from, in words. */
  readonly uncertainty: string;
  /** Limits that were applied to this figure, with their sources. */
  readonly limits: readonly AppliedLimit[];
  /** Distance to the nearest of those limits, in the limit's unit; negative when outside. */
  readonly margin?: { readonly value: number; readonly unit: FigureUnit };
}

/** Where a limit comes from, and how sure we are of the wording: see `sure` in the profile files. */
export interface Source {
  readonly document: string;
  readonly section?: string;
  /** `seen`: read in a copy; `secondary`: only in a secondary source; `memory`: not confirmed; `practice`: common practice, no source. */
  readonly sure: 'seen' | 'secondary' | 'memory' | 'practice';
}

/** A limit as it was applied to a figure. */
export interface AppliedLimit {
  readonly figure: FigureName;
  readonly min?: number;
  readonly max?: number;
  /** True when the limit value itself already fails ("less than 2"). */
  readonly strict?: boolean;
  readonly unit: FigureUnit;
  readonly source: Source;
  /** The condition it holds under, in words, for example "engine off, brakes released, after it settles". */
  readonly condition?: string;
  /** The source gives the value as approximate ("about 45", "usually"). */
  readonly about?: true;
}

/** One condition of a measurement as it turned out. */
export interface ConditionReport {
  /** In words: "engine off", "both needles at 85 psi or more". */
  readonly what: string;
  readonly state: 'known' | 'assumed' | 'unknown' | 'contradicted';
  /** The callout by which it was known or contradicted: its words and the onset of the first. */
  readonly by?: { readonly heard: string; readonly at: Ms };
  /** It is unknown since it was called too late to be so from the beginning. */
  readonly late?: true;
  readonly source: Source;
}

/** One item of a place as it turned out. Silence is `passed over`, never `good`. */
export interface ItemResult {
  readonly id: string;
  readonly title: string;
  readonly state: 'good' | 'bad' | 'skipped' | 'passed over' | 'not fitted' | 'not judged';
  /** What is bad, why it was skipped, or what is open, in words. */
  readonly words?: string;
  /** Of a defect, one open from an earlier check among them. */
  readonly class?: 'out-of-service' | 'report';
  /** Where the class comes from. */
  readonly source?: Source;
  readonly value?: { readonly value: number; readonly unit: FigureUnit };
  /** When it was last said. */
  readonly at?: Ms;
  /** What was taken back of it, or taken without an answer. */
  readonly note?: string;
}

export interface StepResult {
  readonly verdict: Verdict;
  /** One sentence for a person, with the figure and the limit in it. */
  readonly reason: string;
  readonly figures: Partial<Record<FigureName, Figure>>;
  readonly limits: readonly AppliedLimit[];
  /** Distance of the deciding figure to its nearest limit; negative when outside. */
  readonly margin?: { readonly figure: FigureName; readonly value: number; readonly unit: FigureUnit };
  /** What could not be computed, and which rig setting would allow it. */
  readonly missing?: readonly string[];
  /** What a verdict without a numeric limit rests on: observations and confirmations. */
  readonly source?: Source;
  /** The profile sets no limit for this test: `not judged`, yet the check is not incomplete because of it. */
  readonly noLimit?: true;
  /** Seconds of hold that would decide a hold the dial is too coarse to decide. Absent where no hold of 15 minutes would. */
  readonly decidingHold?: number;
  readonly why?: Partial<Record<FigureName, Why>>;
  /** What had to be true for the measurement to count, and by which callouts each was known. */
  readonly conditions?: readonly ConditionReport[];
  /** Of a place of the walk: each of its items. */
  readonly items?: readonly ItemResult[];
  /** Readings that were asked about and taken all the same, in words. */
  readonly flags?: readonly string[];
}

/** What the engine knows of the rig; everything optional but the identity. */
export interface RigSettings {
  readonly id: string;
  readonly name: string;
  readonly unit: PressureUnit;
  /** What the smallest readable step of each dial is. 1 psi when absent. */
  readonly resolution?: { readonly primary?: Pressure; readonly secondary?: Pressure };
  /** Litres. */
  readonly reservoirs?: { readonly supply?: number; readonly primary?: number; readonly secondary?: number };
  /** Litres that FMVSS 121 S5.1.2.1 requires: 12 times the service chambers' volume. */
  readonly requiredReservoirs?: number;
  readonly fitted?: { readonly handValve?: boolean; readonly fastIdle?: boolean; readonly trailer?: boolean };
  /** Rated compressor displacement, litres of swept volume per minute at rated speed. */
  readonly compressorDisplacement?: number;
}
