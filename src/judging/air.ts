import { pressureIn } from '../units/pressure.ts';
import type { PressureUnit } from '../units/pressure.ts';

/** Standard atmosphere: 101.325 kPa, 14.696 psi (ISO 2533). Free air is air at this pressure. */
const ATMOSPHERE_KPA = 101.325;

/**
 * Free air, in litres, that a change of `pressure` in `unit` puts into or takes out of `litres` of reservoir at steady
 * temperature: volume × change ÷ atmosphere (Boyle's law).
 */
export function freeAir(litres: number, pressure: number, unit: PressureUnit): number {
  return (litres * pressureIn({ value: pressure, unit }, 'kPa')) / ATMOSPHERE_KPA;
}

/**
 * Longest build-up that 49 CFR 571.121 S5.1.1 allows, in seconds: actual reservoir capacity × 25 ÷ required capacity.
 * Both capacities in the same unit; `seconds` is the 25.
 */
export function volumeCorrectedBuildUp(actual: number, required: number, seconds: number): number {
  return (actual * seconds) / required;
}
