/** A pressure as it was spoken or read: the number and its unit stay together, and are converted only to be judged. */
export interface Pressure {
  readonly value: number;
  readonly unit: PressureUnit;
}

export type PressureUnit = 'psi' | 'kPa';

/** Exact by definition of the pound-force and the inch (NIST SP 811, appendix B.8: 1 psi = 6.894757 kPa). */
export const KPA_PER_PSI = 6.894757293168361;

/** The number of a gauge pressure in `unit`, unrounded. */
export function pressureIn(pressure: Pressure, unit: PressureUnit): number {
  if (pressure.unit === unit) return pressure.value;
  return unit === 'kPa' ? pressure.value * KPA_PER_PSI : pressure.value / KPA_PER_PSI;
}
