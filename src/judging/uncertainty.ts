import type { Circuit } from '../units/circuit.ts';
import type { RigSettings } from './result.ts';
import { pressureIn } from '../units/pressure.ts';
import type { PressureUnit } from '../units/pressure.ts';

/** Coverage factor of every uncertainty shown: about 95 % (JCGM 100:2008, 6.3.3). */
export const COVERAGE = 2;

/** Standard uncertainty of a value known only to lie within ±`halfWidth`: halfWidth ÷ √3 (JCGM 100:2008, 4.3.7). */
export function rectangular(halfWidth: number): number {
  return halfWidth / Math.sqrt(3);
}

/** Standard uncertainty of a dial read to the nearest `resolution`: 0.29 × resolution (JCGM 100:2008, F.2.2.1). */
export function dialUncertainty(resolution: number): number {
  return rectangular(resolution / 2);
}

/** Standard uncertainty of a sum or difference of independent values (JCGM 100:2008, 5.1.2). */
export function combine(...parts: readonly number[]): number {
  return Math.hypot(...parts);
}

/** Resolution of a circuit's dial in `unit`: the rig's setting, else 1 psi. */
export function resolutionOf(rig: RigSettings, circuit: Circuit, unit: PressureUnit): number {
  return pressureIn(rig.resolution?.[circuit] ?? { value: 1, unit: 'psi' }, unit);
}

/** Standard uncertainty of one reading of a circuit's dial, in `unit`. */
export function readingUncertainty(rig: RigSettings, circuit: Circuit, unit: PressureUnit): number {
  return dialUncertainty(resolutionOf(rig, circuit, unit));
}
