import { KPA_PER_PSI } from '../units/pressure.ts';

/**
 * Air as an ideal gas at one constant temperature. The slow parts of a check (holds, fan-down, build-up) are close to isothermal in
 * steel reservoirs; the few psi by which a fresh charge cools afterwards are left out.
 */

/** Specific gas constant of dry air, J/(kg K); textbook value, from memory. */
const GAS_CONSTANT = 287.05;
/** Kelvin: 20 °C, the reference temperature of ISO 8778, from memory. */
const TEMPERATURE = 293.15;
/** Pa: the standard atmosphere (exact by definition). */
export const ATMOSPHERE = 101_325;
/** Ratio of specific heats of air, as in the published compressible flow tables. */
const GAMMA = 1.4;
/** Reference pressure in Pa of ISO 8778, to which a sonic conductance refers; from memory. */
const REFERENCE_PRESSURE = 100_000;

const PA_PER_PSI = KPA_PER_PSI * 1000;
const RT = GAS_CONSTANT * TEMPERATURE;

/** Pressure ratio below which a nozzle is choked: (2 / (γ + 1))^(γ / (γ − 1)) = 0.5283. */
const CHOKED_RATIO = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1));
const CHOKED_FACTOR = Math.sqrt(GAMMA) * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (2 * (GAMMA - 1)));

/** Absolute pressure in Pa of a gauge pressure in psi. */
export function absolute(psi: number): number {
  return psi * PA_PER_PSI + ATMOSPHERE;
}

/** Gauge pressure in psi of an absolute pressure in Pa. */
export function gaugePsi(pascal: number): number {
  return (pascal - ATMOSPHERE) / PA_PER_PSI;
}

/** Ideal gas law: absolute pressure in Pa of `kg` of air in `volume` m³. */
export function pressureOf(kg: number, volume: number): number {
  return (kg * RT) / volume;
}

/** Ideal gas law: kg of air in `volume` m³ at an absolute pressure in Pa. */
export function massOf(pascal: number, volume: number): number {
  return (pascal * volume) / RT;
}

/**
 * Mass flow in kg/s through an ideal orifice of effective area `area` (discharge coefficient times area, m²) from `upstream` to
 * `downstream`, absolute pressures in Pa. Standard one-dimensional isentropic flow, as in any compressible flow textbook, from memory:
 * choked  m' = A p1 √(γ/RT) (2/(γ+1))^((γ+1)/(2(γ−1)));
 * else    m' = A p1 √(2γ/((γ−1)RT) (r^(2/γ) − r^((γ+1)/γ))), r = p2/p1. Zero when there is no fall in pressure.
 */
export function orificeFlow(area: number, upstream: number, downstream: number): number {
  if (!(upstream > downstream)) return 0;
  const ratio = downstream / upstream;
  const scale = (area * upstream) / Math.sqrt(RT);
  if (ratio <= CHOKED_RATIO) return scale * CHOKED_FACTOR;
  return scale * Math.sqrt(((2 * GAMMA) / (GAMMA - 1)) * (ratio ** (2 / GAMMA) - ratio ** ((GAMMA + 1) / GAMMA)));
}

/**
 * Mass flow in kg/s through a valve by ISO 6358 (formula from memory): sonic conductance `conductance` in m³/(s Pa), critical pressure
 * ratio `critical`, absolute pressures in Pa. Choked: C ρ0 p1; else that times √(1 − ((p2/p1 − b)/(1 − b))²). The air is at the
 * reference temperature, so the factor √(T0/T1) is 1.
 */
export function valveFlow(conductance: number, critical: number, upstream: number, downstream: number): number {
  if (!(upstream > downstream)) return 0;
  const choked = (conductance * upstream * REFERENCE_PRESSURE) / RT;
  const ratio = downstream / upstream;
  if (ratio <= critical) return choked;
  const beyond = (ratio - critical) / (1 - critical);
  return choked * Math.sqrt(1 - beyond * beyond);
}

/**
 * Kg that pass in `seconds` when the flow is `kgPerSecond` at first and `most` kg remain to pass before the pressures are equal. The flow
 * falls with the root of what remains, as turbulent flow does near equal pressures, and stops there: no step, however long, overshoots
 * or empties a volume.
 */
export function passing(kgPerSecond: number, seconds: number, most: number): number {
  const full = kgPerSecond * seconds;
  if (!(most > 0) || !(full > 0)) return 0;
  return full >= 2 * most ? most : full - (full * full) / (4 * most);
}
