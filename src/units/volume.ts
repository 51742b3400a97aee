import type { VolumeUnit } from './volume-unit.ts';

/** Litres in one; exact: an inch is 25.4 mm, and a US gallon 231 cubic inches (NIST SP 811, appendix B; from memory). */
const LITRES: Readonly<Record<VolumeUnit, number>> = { L: 1, gal: 3.785411784, 'in³': 0.016387064 };

export function toLitres(value: number, unit: VolumeUnit): number {
  return value * LITRES[unit];
}

export function fromLitres(litres: number, unit: VolumeUnit): number {
  return litres / LITRES[unit];
}

/** As it is typed: four digits that matter, so that a tank of 1500 in³ is still that after it was kept in litres. */
export function volumeText(litres: number | undefined, unit: VolumeUnit): string {
  return litres === undefined ? '' : String(Number(fromLitres(litres, unit).toPrecision(unit === 'L' ? 12 : 5)));
}
