import { VOLUME_UNITS, type VolumeUnit } from '../units/volume-unit.ts';
import type { SmallStore } from './settings.ts';

/** How often a rig is to be checked, in hours, and in words. */
export const DUE_EVERY: readonly (readonly [hours: number, words: string])[] = [
  [12, 'every shift (12 hours)'],
  [24, 'every day'],
  [48, 'every second day'],
  [168, 'every week'],
];
const EACH_DAY = 24;

/** What is used when a rig is chosen; what is absent stays as it was. */
export interface RigDefaults {
  readonly planId?: string;
  readonly profileId?: string;
  /** One of `DUE_EVERY`; absent: as the department has it. */
  readonly dueHours?: number;
  /** In which its volumes are shown and typed; absent: litres. */
  readonly volumes?: VolumeUnit;
}

const STORED = 'rig-defaults';
const DEPARTMENT = 'due-hours';

/** What was stored for a rig; whatever is of another kind is left out. */
export function rigDefaults(small: SmallStore, rig: string): RigDefaults {
  const { planId, profileId, dueHours, volumes } = members(members(small.get(STORED))[rig]);
  const unit = VOLUME_UNITS.find((each) => each === volumes);
  return {
    ...(typeof planId === 'string' && planId !== '' ? { planId } : {}),
    ...(typeof profileId === 'string' && profileId !== '' ? { profileId } : {}),
    ...(isDueHours(dueHours) ? { dueHours } : {}),
    ...(unit === undefined ? {} : { volumes: unit }),
  };
}

export function keepRigDefaults(small: SmallStore, rig: string, defaults: RigDefaults): void {
  small.set(STORED, { ...members(small.get(STORED)), [rig]: defaults });
}

/** How often a check is due where a rig has nothing of its own: each day, until the department sets it. */
export function departmentDueHours(small: SmallStore): number {
  const stored = small.get(DEPARTMENT);
  return isDueHours(stored) ? stored : EACH_DAY;
}

export function keepDepartmentDueHours(small: SmallStore, hours: number): void {
  if (isDueHours(hours)) small.set(DEPARTMENT, hours);
}

/**
 * When the next check is due, in ms since 1970, after one at `last` (ISO 8601). Whole days are counted from midnight where the device is, so
 * that a check at seven is due again the next morning, not at seven; a shift from the hour.
 */
export function dueAt(last: string, hours: number): number {
  const at = new Date(last);
  if (hours % 24 !== 0) return at.getTime() + hours * 3_600_000;
  at.setHours(0, 0, 0, 0);
  at.setDate(at.getDate() + hours / 24);
  return at.getTime();
}

function isDueHours(value: unknown): value is number {
  return DUE_EVERY.some(([hours]) => hours === value);
}

function members(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null ? (value as Readonly<Record<string, unknown>>) : {};
}
