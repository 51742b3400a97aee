import { KPA_PER_PSI } from '../units/pressure.ts';
import type { FigureUnit } from './result.ts';

/** Litres in a cubic foot: exact, from the inch of 25.4 mm. */
export const LITRES_PER_CUBIC_FOOT = 28.316846592;

/** Relative size of what binary floating point may add to a value; nothing of a reading hides in it. */
const BINARY_NOISE = 1e-9;

/**
 * -1, 0 or 1 as `a` is below, at or above `b`. Values are compared unrounded; the guard only covers the binary
 * representation, so that 0.1 + 0.2 is at 0.3.
 */
export function compare(a: number, b: number): -1 | 0 | 1 {
  if (Math.abs(a - b) <= BINARY_NOISE * Math.max(1, Math.abs(a), Math.abs(b))) return 0;
  return a < b ? -1 : 1;
}

/** Each unit's kind, and its size in the first unit of that kind. */
const SIZES: Readonly<Record<FigureUnit, readonly [kind: string, size: number]>> = {
  psi: ['pressure', 1],
  kPa: ['pressure', 1 / KPA_PER_PSI],
  'psi/min': ['rate', 1],
  'kPa/min': ['rate', 1 / KPA_PER_PSI],
  s: ['time', 1],
  min: ['time', 60],
  'l/min': ['flow', 1],
  cfm: ['flow', LITRES_PER_CUBIC_FOOT],
  '%': ['share', 1],
  '32nds': ['length', 1],
};

export function kindOf(unit: FigureUnit): string {
  return SIZES[unit][0];
}

/** `value` in the first unit of its kind: psi, psi/min, s, l/min or %. */
export function inFirstUnit(value: number, unit: FigureUnit): number {
  return value * SIZES[unit][1];
}

/** `value` of unit `from` in unit `to`, unrounded. Throws when the units measure different things. */
export function convert(value: number, from: FigureUnit, to: FigureUnit): number {
  if (from === to) return value;
  if (kindOf(from) !== kindOf(to)) throw new Error(`cannot express ${from} in ${to}`);
  return inFirstUnit(value, from) / SIZES[to][1];
}
