import type { Pressure } from '../units/pressure.ts';
import { pressureIn } from '../units/pressure.ts';
import type { AirState } from './air.ts';
import type { Circuit } from '../units/circuit.ts';
import { gaugePsi } from './gas.ts';
import type { VolumeName } from './plant.ts';
import { forEachVolume, VOLUMES } from './plant.ts';

/** Where the two needles stand, in psi, unrounded: what is drawn. */
export function gauges(air: AirState): Readonly<Record<Circuit, number>> {
  return air.needles;
}

/** What can be read off the two dials: in the dial's unit, rounded to its smallest step. */
export function dial(air: AirState): Readonly<Record<Circuit, Pressure>> {
  const { unit, resolution } = air.rig.gauge;
  const read = (psi: number): Pressure => ({
    value: Math.round(pressureIn({ value: psi, unit: 'psi' }, unit) / resolution) * resolution,
    unit,
  });
  return { primary: read(air.needles.primary), secondary: read(air.needles.secondary) };
}

/** True gauge pressures in psi, as no one in the cab can see them. */
export function pressures(air: AirState): Readonly<Record<VolumeName, number>> {
  return forEachVolume((name) => gaugePsi(air.kg[name] * air.plant.paPerKg[name]));
}

/** Where all the air has gone, kg: `initial` + `drawnIn` = `stored` + `vented` at any time. */
export interface AirMass {
  readonly initial: number;
  readonly drawnIn: number;
  readonly vented: number;
  readonly stored: number;
}

export function airMass({ initial, drawnIn, vented, kg }: AirState): AirMass {
  return { initial, drawnIn, vented, stored: VOLUMES.reduce((sum, name) => sum + kg[name], 0) };
}
