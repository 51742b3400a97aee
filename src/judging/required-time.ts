import { volumeCorrectedBuildUp } from './air.ts';
import { appliedTo } from './applied.ts';
import type { Limit, TestLimits } from './profile.ts';
import type { AppliedLimit, RigSettings } from './result.ts';
import { figure } from './sheet.ts';
import type { Entry } from './sheet.ts';

/** The limits of a build-up with what they rest on. */
export interface Requirement {
  readonly limits: readonly AppliedLimit[];
  readonly entries: readonly Entry[];
  readonly missing: readonly string[];
}

/** The limits of the build-up, with those that depend on reservoir volumes worked out where the rig's are known. */
export function requirementOf(limits: TestLimits | undefined, rig: RigSettings): Requirement {
  const parts = (limits?.limits ?? []).map((limit) => oneRequirement(limit, rig));
  return {
    limits: parts.flatMap((part) => part.limits),
    entries: parts.flatMap((part) => part.entries),
    missing: parts.flatMap((part) => part.missing),
  };
}

function oneRequirement(limit: Limit, rig: RigSettings): Requirement {
  const seconds = limit.maxTimesCapacity;
  if (seconds === undefined) return { limits: [appliedTo(limit, 'buildUpTime')], entries: [], missing: [] };
  const actual = capacityOf(rig);
  const required = rig.requiredReservoirs;
  if (actual === undefined || required === undefined) {
    return {
      limits: [],
      entries: [],
      missing: [
        'The volume-corrected limit needs the volumes of all reservoirs and the required capacity in the rig settings.',
      ],
    };
  }
  const max = volumeCorrectedBuildUp(actual, required, seconds);
  const entry: Entry = {
    name: 'buildUpRequirement',
    figure: figure(max, 's', 0),
    formula: `actual reservoir capacity × ${seconds} s ÷ required capacity`,
    inputs: [
      { name: 'actual capacity', value: actual, unit: 'l' },
      { name: 'required capacity', value: required, unit: 'l' },
    ],
    error: 'rated volumes are taken as exact',
  };
  return { limits: [appliedTo({ ...limit, max }, 'buildUpTime')], entries: [entry], missing: [] };
}

/** Litres of supply and service reservoirs together; undefined unless each is known (a rig without a supply tank says 0). */
function capacityOf({ reservoirs }: RigSettings): number | undefined {
  const { supply, primary, secondary } = reservoirs ?? {};
  return supply === undefined || primary === undefined || secondary === undefined
    ? undefined
    : supply + primary + secondary;
}
