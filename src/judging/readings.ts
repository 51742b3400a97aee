import { pressureIn } from '../units/pressure.ts';
import type { Pressure, PressureUnit } from '../units/pressure.ts';
import { CIRCUITS } from './circuits.ts';
import type { Circuit } from './circuits.ts';
import { compare } from './compare.ts';
import type { TimedReading } from './measurement.ts';
import type { RigSettings } from './result.ts';
import type { Entry } from './sheet.ts';
import { figure } from './sheet.ts';
import { COVERAGE, readingUncertainty } from './uncertainty.ts';
import { shown } from './wording.ts';

/** Above every dial of a rig: a reading beyond it was misheard or misread. */
const HIGHEST_PRESSURE: Pressure = { value: 160, unit: 'psi' };

/** Both needles in one unit. */
export interface Needles {
  readonly primary: number;
  readonly secondary: number;
  readonly unit: PressureUnit;
}

/** Why readings cannot be judged, in one sentence; undefined when they can. Times are looked at by the tests that need them. */
export function readingFault(readings: readonly TimedReading[], needed: number): string | undefined {
  if (readings.length < needed) {
    return needed === 1
      ? 'No reading was called.'
      : `${readings.length === 0 ? 'No reading' : 'Only one reading'} was called; two are needed.`;
  }
  const units = new Set<PressureUnit>();
  for (const reading of readings) {
    for (const circuit of CIRCUITS) {
      const pressure = reading[circuit];
      if (pressure === undefined) return `The ${circuit} needle was not called, and each circuit is judged alone.`;
      if (!isPlausible(pressure))
        return `A ${circuit} pressure of ${shown(pressure.value)} ${pressure.unit} is not possible on a rig.`;
      units.add(pressure.unit);
    }
    if (!Number.isFinite(reading.start) || !Number.isFinite(reading.end)) return 'The time of a reading is not known.';
  }
  return units.size > 1 ? 'The readings mix psi and kPa; call all of a test in one unit.' : undefined;
}

function isPlausible(pressure: Pressure): boolean {
  const { value } = pressure;
  return Number.isFinite(value) && value >= 0 && compare(value, pressureIn(HIGHEST_PRESSURE, pressure.unit)) <= 0;
}

/** Both needles of a reading that has no fault. */
export function needlesOf({ primary, secondary }: TimedReading): Needles | undefined {
  if (primary === undefined || secondary === undefined) return undefined;
  return { primary: primary.value, secondary: pressureIn(secondary, primary.unit), unit: primary.unit };
}

/** The circuit of the lower needle; primary when both are level. */
export function lowerCircuit(needles: Needles): Circuit {
  return needles.secondary < needles.primary ? 'secondary' : 'primary';
}

/** The circuit of the higher needle; primary when both are level. */
export function higherCircuit(needles: Needles): Circuit {
  return needles.secondary > needles.primary ? 'secondary' : 'primary';
}

/** One needle of a reading as a figure. */
export function needleEntry(
  name: Entry['name'],
  circuit: Circuit,
  needles: Needles,
  rig: RigSettings,
  formula: string,
): Entry {
  const { unit } = needles;
  return {
    name,
    figure: figure(needles[circuit], unit, COVERAGE * readingUncertainty(rig, circuit, unit)),
    formula,
    inputs: CIRCUITS.map((each) => ({ name: each, value: needles[each], unit })),
    error: dialError(rig, circuit, unit),
  };
}

/** How the uncertainty of one reading comes about, in words. */
function dialError(rig: RigSettings, circuit: Circuit, unit: PressureUnit): string {
  const step = readingUncertainty(rig, circuit, unit) * Math.sqrt(12);
  return `dial read to the nearest ${shown(step)} ${unit}: rectangular, ${shown(step)} ÷ √12, times 2`;
}
