import { ATMOSPHERE } from './gas.ts';

export interface Compressor {
  /** Swept volume per turn of the compressor, litres. */
  readonly litresPerRev: number;
  /** Turns of the compressor per turn of the engine. */
  readonly speedRatio: number;
  /** Clearance volume over swept volume. */
  readonly clearance: number;
  /** What intake throttling, heating and ring leakage leave of the filling at no back pressure, 0 to 1. */
  readonly filling: number;
}

/** Exponent of the re-expansion of the air left in the clearance; the usual textbook value for a cooled compressor, from memory. */
const POLYTROPIC = 1.3;

/**
 * Volumetric efficiency at an absolute discharge pressure in Pa: filling × (1 + c − c (p2/p1)^(1/n)), the clearance formula for a
 * reciprocating compressor of any thermodynamics textbook (from memory). Falls with pressure, never below 0.
 */
export function volumetricEfficiency(compressor: Compressor, discharge: number): number {
  const { clearance, filling } = compressor;
  return Math.max(0, filling * (1 + clearance - clearance * (discharge / ATMOSPHERE) ** (1 / POLYTROPIC)));
}

/** Free air delivered, m³/s at the atmosphere's pressure, at an engine speed in rpm and an absolute discharge pressure in Pa. */
export function freeAirDelivered(compressor: Compressor, engineRpm: number, discharge: number): number {
  const turnsPerSecond = (engineRpm * compressor.speedRatio) / 60;
  return (compressor.litresPerRev / 1000) * turnsPerSecond * volumetricEfficiency(compressor, discharge);
}
