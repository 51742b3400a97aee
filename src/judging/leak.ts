import { pressureIn } from '../units/pressure.ts';
import type { Pressure, PressureUnit } from '../units/pressure.ts';
import { freeAir } from './air.ts';
import type { Subject } from './assess.ts';
import { CIRCUIT_WORDS } from './circuits.ts';
import type { Circuit } from '../units/circuit.ts';
import { LITRES_PER_CUBIC_FOOT } from './compare.ts';
import type { Needles } from './readings.ts';
import type { FigureUnit, RigSettings } from './result.ts';
import type { Entry } from './sheet.ts';
import { figure } from './sheet.ts';
import { combine, COVERAGE, readingUncertainty, resolutionOf } from './uncertainty.ts';
import { shown } from './wording.ts';

/** What one circuit did in a hold. */
export interface Leak {
  readonly circuit: Circuit;
  readonly before: number;
  readonly after: number;
  readonly unit: PressureUnit;
  readonly drop: number;
  /** Expanded uncertainty of the drop: two dial readings, 2 × √2 × resolution ÷ √12. */
  readonly dropError: number;
  /** Seconds between the readings; not positive when they leave no interval. */
  readonly interval: number;
  readonly resolution: number;
}

const RATE_UNIT: Readonly<Record<PressureUnit, FigureUnit>> = { psi: 'psi/min', kPa: 'kPa/min' };
export const RATE_FIGURE = { primary: 'primaryRate', secondary: 'secondaryRate' } as const;
const DROP_FIGURE = { primary: 'primaryDrop', secondary: 'secondaryDrop' } as const;

/** The circuit's drop in a hold: from the end of the first callout to the onset of the second. */
export function leakOf(circuit: Circuit, first: Needles, second: Needles, rig: RigSettings): Leak {
  const { unit } = first;
  const reading = readingUncertainty(rig, circuit, unit);
  return {
    circuit,
    before: first[circuit],
    after: second[circuit],
    unit,
    drop: first[circuit] - second[circuit],
    dropError: COVERAGE * combine(reading, reading),
    interval: (second.start - first.end) / 1000,
    resolution: resolutionOf(rig, circuit, unit),
  };
}

/** Pressure per minute: drop × 60 ÷ interval. */
function rateOf({ drop, interval }: Leak): number {
  return (drop * 60) / interval;
}

function rateErrorOf({ dropError, interval }: Leak): number {
  return (dropError * 60) / interval;
}

export function rateSubject(leak: Leak): Subject {
  const moved = leak.drop < 0 ? `rose ${shown(-leak.drop)}` : `dropped ${shown(leak.drop)}`;
  return {
    figure: RATE_FIGURE[leak.circuit],
    label: CIRCUIT_WORDS[leak.circuit],
    value: figure(rateOf(leak), RATE_UNIT[leak.unit], rateErrorOf(leak)),
    told: (value) => `${moved} ${leak.unit} in ${shown(leak.interval)} s, ${value}`,
  };
}

/** The drop itself as a rate over the nominal hold of `seconds`: what a limit in psi a minute means at the end of it. */
export function dropSubject(leak: Leak, seconds: number): Subject {
  const scale = 60 / seconds;
  return { ...rateSubject(leak), value: figure(leak.drop * scale, RATE_UNIT[leak.unit], leak.dropError * scale) };
}

export function dropEntry(leak: Leak): Entry {
  const { circuit, before, after, unit, drop, dropError, resolution } = leak;
  return {
    name: DROP_FIGURE[circuit],
    figure: figure(drop, unit, dropError),
    formula: 'first reading − second reading',
    inputs: [
      { name: `${circuit}, first reading`, value: before, unit },
      { name: `${circuit}, second reading`, value: after, unit },
    ],
    error: `two dial readings to the nearest ${shown(resolution)} ${unit}: 2 × √2 × ${shown(resolution)} ÷ √12`,
  };
}

export function rateEntry(leak: Leak): Entry {
  const { circuit, drop, dropError, unit, interval } = leak;
  return {
    name: RATE_FIGURE[circuit],
    figure: figure(rateOf(leak), RATE_UNIT[unit], rateErrorOf(leak)),
    formula: 'drop × 60 s ÷ interval',
    inputs: [
      { name: `${circuit} drop`, value: drop, unit },
      { name: 'interval', value: interval, unit: 's' },
    ],
    error: `error of the drop, ${shown(dropError, 0)} ${unit}, × 60 s ÷ interval`,
  };
}

export function intervalEntry(first: Needles, second: Needles, interval: number): Entry {
  return {
    name: 'interval',
    figure: figure(interval, 's', 0),
    formula: 'onset of the second reading − end of the first',
    inputs: [
      { name: 'end of the first reading', value: first.end / 1000, unit: 's' },
      { name: 'onset of the second reading', value: second.start / 1000, unit: 's' },
    ],
    error: 'counted in audio samples; its error is far below that of the dials',
  };
}

/**
 * Free air that leaks from the two service circuits, in litres a minute: sum of volume × rate ÷ atmosphere. The supply
 * tank has no gauge, so what leaves it is not counted. The value is undefined without the reservoir volumes.
 */
export function leakageEntry(leaks: readonly Leak[], rig: RigSettings): Entry | undefined {
  const parts = leaks.map((leak) => ({ leak, litres: rig.reservoirs?.[leak.circuit] }));
  const known = parts.filter((part): part is { leak: Leak; litres: number } => part.litres !== undefined);
  if (known.length < 2) return undefined;
  const flow = known.reduce((sum, { leak, litres }) => sum + freeAir(litres, rateOf(leak), leak.unit), 0);
  const error = combine(...known.map(({ leak, litres }) => freeAir(litres, rateErrorOf(leak), leak.unit)));
  return {
    name: 'leakageFlow',
    figure: { ...figure(flow, 'l/min', error), also: { value: flow / LITRES_PER_CUBIC_FOOT, unit: 'cfm' } },
    formula: 'sum over both circuits of reservoir volume × drop rate ÷ 101.325 kPa',
    inputs: known.flatMap(({ leak, litres }) => [
      { name: `${leak.circuit} reservoir`, value: litres, unit: 'l' },
      { name: `${leak.circuit} rate`, value: rateOf(leak), unit: RATE_UNIT[leak.unit] },
    ]),
    error: 'errors of both rates, combined in quadrature',
  };
}

/** Where a parked rig's leak would end: the pressure of the low-air warning, and how it is known. */
export interface WarningLine {
  readonly pressure: Pressure;
  readonly from: string;
}

/**
 * Minutes until the first circuit, leaking on at its rate, reaches the low-air warning: (second reading − warning
 * pressure) ÷ rate. A leak slows as pressure falls, so this is the earliest. Undefined when no circuit drops.
 */
export function timeToWarningEntry(leaks: readonly Leak[], line: WarningLine): Entry | undefined {
  const times = leaks
    .filter(({ drop, after, unit }) => drop > 0 && after >= pressureIn(line.pressure, unit))
    .map((leak) => ({ leak, minutes: (leak.after - pressureIn(line.pressure, leak.unit)) / rateOf(leak) }));
  const [soonest] = times.sort((a, b) => a.minutes - b.minutes);
  if (soonest === undefined) return undefined;
  const { leak, minutes } = soonest;
  return {
    name: 'timeToWarning',
    figure: figure(minutes, 'min', (minutes * leak.dropError) / leak.drop),
    formula: '(second reading − warning pressure) ÷ rate, for the circuit that is there first',
    inputs: [
      { name: `${leak.circuit}, second reading`, value: leak.after, unit: leak.unit },
      { name: `warning pressure, ${line.from}`, value: line.pressure.value, unit: line.pressure.unit },
      { name: `${leak.circuit} rate`, value: rateOf(leak), unit: RATE_UNIT[leak.unit] },
    ],
    error: 'relative error of the rate',
  };
}
