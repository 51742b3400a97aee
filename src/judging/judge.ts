import { judgeBuildUp } from './build-up.ts';
import { judgeHold } from './hold.ts';
import type { WarningLine } from './leak.ts';
import type { Measurement } from './measurement.ts';
import { judgeConfirmation, judgeObservation } from './observation.ts';
import type { LimitProfile } from './profile.ts';
import { earlierNeedles, lowerCircuit } from './readings.ts';
import type { CheckVerdict, RigSettings, StepResult, Verdict } from './result.ts';
import { judgeSingle } from './single.ts';

/**
 * Figures, limits, verdict and one sentence for what a step gathered. Pure. Unusable input is `not judged` with the
 * reason; so is a test that the profile sets no limit for (`noLimit`).
 */
export function judge(measurement: Measurement, profile: LimitProfile, rig: RigSettings): StepResult {
  const limits = profile.tests.find(({ test }) => test === measurement.test);
  switch (measurement.test) {
    case 'none':
      return judgeConfirmation();
    case 'tug-test':
    case 'hand-valve-test':
    case 'service-brake-test':
      return judgeObservation(measurement);
    case 'static-leakage':
    case 'applied-leakage':
      return judgeHold({ measurement, limits, rig, warning: warningLine(measurement, profile) });
    case 'build-up':
      return judgeBuildUp(measurement, limits, rig);
    case 'plain-reading':
    case 'pre-start-fill':
    case 'governor-cut-out':
    case 'governor-cut-in':
    case 'low-air-warning':
    case 'spring-brake-activation':
      return judgeSingle(measurement, limits, rig);
  }
}

/** The rig's own low-air warning of this check, else the lowest the profile allows. */
function warningLine(measurement: Measurement, profile: LimitProfile): WarningLine | undefined {
  const needles = earlierNeedles(measurement, 'low-air-warning');
  if (needles !== undefined) {
    return { pressure: { value: needles[lowerCircuit(needles)], unit: needles.unit }, from: 'as called in this check' };
  }
  const limit = profile.tests
    .find(({ test }) => test === 'low-air-warning')
    ?.limits.find(({ min }) => min !== undefined);
  if (limit?.min === undefined || (limit.unit !== 'psi' && limit.unit !== 'kPa')) return undefined;
  return { pressure: { value: limit.min, unit: limit.unit }, from: 'lowest that the profile allows' };
}

/** One step of a finished check. */
export interface JudgedStep {
  /** False for a step that was passed over because the rig lacks what it tests. */
  readonly required: boolean;
  readonly result: StepResult;
}

/**
 * The verdict of a whole check: a failed step fails it; else a required step without verdict leaves it incomplete,
 * except where the profile sets no limit; else a marginal step makes it marginal. A check in
 * which the profile limits nothing that was measured is incomplete.
 */
export function judgeCheck(steps: readonly JudgedStep[]): CheckVerdict {
  const counted = steps.filter(
    ({ result, required }) => result.verdict === 'fail' || (required && result.noLimit !== true),
  );
  const has = (verdict: Verdict): boolean => counted.some(({ result }) => result.verdict === verdict);
  if (has('fail')) return 'fail';
  const isUnlimited =
    steps.some(({ result }) => result.noLimit === true) && counted.every(({ result }) => result.limits.length === 0);
  if (has('not judged') || counted.length === 0 || isUnlimited) return 'incomplete';
  return has('marginal') ? 'marginal' : 'pass';
}
