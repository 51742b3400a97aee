import type { Item, ItemGroup, Sources } from '../items/item.ts';
import type { Condition } from '../judging/condition.ts';
import type { EngineSpeed, TestId } from '../judging/measurement.ts';
import type { Pressure } from '../units/pressure.ts';

export const EQUIPMENT = ['handValve', 'fastIdle', 'trailer'] as const;
type Equipment = (typeof EQUIPMENT)[number];

export const STEP_KINDS = ['confirm', 'reading', 'hold', 'event', 'build', 'observe', 'items'] as const;
export type StepKind = (typeof STEP_KINDS)[number];

/** One part of a plan. Validated by `readPlan`; a plan in memory is always valid. */
export interface Step {
  /** Kebab-case, unique in the plan; appears in logs and in `hear --json`. */
  readonly id: string;
  readonly kind: StepKind;
  readonly title: string;
  /** Spoken when the step begins: short, what to do and what to say. */
  readonly brief: string;
  /** Shown on screen: one instruction. */
  readonly instruction: string;
  /** The caution that matters in this step, shown with it and spoken once. */
  readonly caution?: string;
  readonly test: TestId;
  /**
   * Cue ids that must be heard, in any sensible order, before what the kind needs; for `observe` besides it, but for those that a condition of
   * its test rests on: a good outcome counts only after them.
   */
  readonly cues: readonly string[];
  /** Cue ids that must come after the readings (for example `fast-idle-off`). */
  readonly cuesAfter?: readonly string[];
  /** For `event`: any of these cues is the moment. For `observe`: exactly one of these is what was seen or felt. */
  readonly outcomes?: readonly string[];
  /** For `hold`: length of the hold, in seconds of audio. */
  readonly holdSeconds?: number;
  /** For `build`: the window runs from both needles at `from` to both at `to`. */
  readonly from?: Pressure;
  readonly to?: Pressure;
  /** For `build`: the engine speed that the step asks for; limits may hold at one speed only. `operating` when absent. */
  readonly engineSpeed?: EngineSpeed;
  /** Readings outside this are asked again as implausible. 0 to 160 psi when absent. */
  readonly plausible?: { readonly min: Pressure; readonly max: Pressure };
  /** The step is passed over, and is no part of the check, on rigs whose settings do not say that they have it. */
  readonly onlyIfFitted?: Equipment;
  /** Cues that are not waited for on rigs whose settings say that they do not have the equipment: cue id to equipment. */
  readonly cueIfFitted?: Readonly<Record<string, Equipment>>;
  /** Conditions of the measurement besides those of its test; see `conditions.ts`. */
  readonly conditions?: readonly Condition[];
  /** For `items`: what "back to …" calls the place, what is looked at there, what is said of several at once, and where the classes come from. */
  readonly names?: readonly string[];
  readonly items?: readonly Item[];
  readonly groups?: readonly ItemGroup[];
  readonly sources?: Sources;
  /** A cue of this step that starts or stops the whole-check clock. */
  readonly startsClock?: string;
  readonly stopsClock?: string;
}

export interface Plan {
  readonly format: 'two-needles-plan';
  readonly version: 1;
  readonly id: string;
  readonly title: string;
  /** A defect may not be closed by whoever reported it. */
  readonly closedByAnother?: true;
  readonly steps: readonly Step[];
}
