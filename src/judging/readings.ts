import { pressureIn } from '../units/pressure.ts';
import type { Pressure, PressureUnit } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import { CIRCUITS, type Circuit } from '../units/circuit.ts';
import { compare } from './compare.ts';
import type { Measurement, TestId, TimedReading } from './measurement.ts';
import type { RigSettings } from './result.ts';
import type { Entry } from './sheet.ts';
import { figure } from './sheet.ts';
import { COVERAGE, readingUncertainty } from './uncertainty.ts';
import { shown } from './wording.ts';

/** Above every dial of a rig: a reading beyond it was misheard or misread. */
const HIGHEST_PRESSURE: Pressure = { value: 160, unit: 'psi' };

const MIXED = 'The readings mix psi and kPa; call all of a test in one unit.';

/** Both needles of one callout, in one unit, with the time of its words. */
export interface Needles {
  readonly primary: number;
  readonly secondary: number;
  readonly unit: PressureUnit;
  readonly start: Ms;
  readonly end: Ms;
}

/** The first two readings of a test, or in one sentence why they cannot be judged. */
export function pairOf(readings: readonly TimedReading[]): readonly [Needles, Needles] | string {
  const called = calledNeedles(readings);
  if (typeof called === 'string') return called;
  const [first, second] = called;
  if (first === undefined) return 'No reading was called; two are needed.';
  return second === undefined ? 'Only one reading was called; two are needed.' : [first, second];
}

/** The last reading of a test, or in one sentence why it cannot be judged. */
export function latestOf(readings: readonly TimedReading[]): Needles | string {
  const called = calledNeedles(readings);
  return typeof called === 'string' ? called : (called.at(-1) ?? 'No reading was called.');
}

/** The last usable reading of an earlier test of this check. */
export function earlierNeedles({ earlier }: Measurement, test: TestId): Needles | undefined {
  const latest = latestOf((earlier?.[test] ?? []).slice(-1));
  return typeof latest === 'string' ? undefined : latest;
}

function calledNeedles(readings: readonly TimedReading[]): readonly Needles[] | string {
  const called: Needles[] = [];
  for (const reading of readings) {
    const needles = needlesOf(reading);
    if (typeof needles === 'string') return needles;
    called.push(needles);
  }
  return new Set(called.map(({ unit }) => unit)).size > 1 ? MIXED : called;
}

function needlesOf({ primary, secondary, start, end }: TimedReading): Needles | string {
  if (primary === undefined) return missing('primary');
  if (secondary === undefined) return missing('secondary');
  if (!isPlausible(primary)) return impossible('primary', primary);
  if (!isPlausible(secondary)) return impossible('secondary', secondary);
  if (!Number.isFinite(start) || !Number.isFinite(end)) return 'The time of a reading is not known.';
  if (primary.unit !== secondary.unit) return MIXED;
  return { primary: primary.value, secondary: secondary.value, unit: primary.unit, start, end };
}

function missing(circuit: Circuit): string {
  return `The ${circuit} needle was not called, and each circuit is judged alone.`;
}

function impossible(circuit: Circuit, { value, unit }: Pressure): string {
  return `A ${circuit} pressure of ${shown(value)} ${unit} is not possible on a rig.`;
}

function isPlausible({ value, unit }: Pressure): boolean {
  return Number.isFinite(value) && value >= 0 && compare(value, pressureIn(HIGHEST_PRESSURE, unit)) <= 0;
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
