import { pressureIn } from '../units/pressure.ts';
import type { Subject } from './assess.ts';
import { appliedTo } from './applied.ts';
import type { Measurement } from './measurement.ts';
import type { TestLimits } from './profile.ts';
import { earlierNeedles, lowerCircuit } from './readings.ts';
import type { Needles } from './readings.ts';
import type { AppliedLimit, RigSettings } from './result.ts';
import { figure } from './sheet.ts';
import { combine, COVERAGE, readingUncertainty } from './uncertainty.ts';
import { shown } from './wording.ts';

/**
 * The order rule: the spring brakes come on below the pressure of the low-air warning, lower needle against lower
 * needle. Undefined where the profile does not ask for it; `missing` when this check has no warning to compare with, or one that was
 * not judged.
 */
export function orderContest(
  measurement: Measurement,
  needles: Needles,
  limits: TestLimits | undefined,
  rig: RigSettings,
):
  | {
      readonly contest?: { readonly subject: Subject; readonly limit: AppliedLimit };
      readonly missing: readonly string[];
      /** The check had a low-air warning, and did not judge it: the order must not pass for known. */
      readonly isOpen: boolean;
    }
  | undefined {
  const rule = limits?.belowWarning;
  if (rule === undefined) return undefined;
  const warning = earlierNeedles(measurement, 'low-air-warning');
  const isOpen = measurement.unjudged?.includes('low-air-warning') === true;
  if (warning === undefined)
    return { missing: ['The order of warning and spring brakes needs the low-air warning of this check.'], isOpen };
  const { unit } = needles;
  const at = lowerCircuit(warning);
  const low = lowerCircuit(needles);
  const max = pressureIn({ value: warning[at], unit: warning.unit }, unit);
  const error = COVERAGE * combine(readingUncertainty(rig, at, unit), readingUncertainty(rig, low, unit));
  return {
    contest: {
      subject: {
        figure: 'activationAt',
        label: 'The lower needle',
        value: figure(needles[low], unit, error),
        told: (value) =>
          `was at ${value} at spring brake activation, and at ${shown(max)} ${unit} at the low-air warning`,
      },
      limit: appliedTo(
        {
          figure: 'activationAt',
          max,
          strict: true,
          unit,
          condition: 'below the pressure of the low-air warning',
          source: rule.source,
        },
        'activationAt',
      ),
    },
    missing: isOpen ? ['The order of warning and spring brakes needs a judged low-air warning of this check.'] : [],
    isOpen,
  };
}
