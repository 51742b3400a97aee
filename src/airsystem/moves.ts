import { ATMOSPHERE, passing, valveFlow } from './gas.ts';
import type { VolumeName } from './plant.ts';

/** A valve or pipe by ISO 6358: sonic conductance in m³/(s Pa) and critical pressure ratio. */
export interface Valve {
  readonly conductance: number;
  readonly critical: number;
}

/** Where the figures of each volume stand in `Moves`, in the order of `VOLUMES`: a step looks up so many that their names would cost the most. */
export const PLACE = {
  dryer: 0,
  supply: 1,
  primary: 2,
  secondary: 3,
  rear: 4,
  front: 5,
  springs: 6,
} as const satisfies Record<VolumeName, number>;

/** A figure of each volume, each in its place. */
export function placed(of: Readonly<Record<VolumeName, number>>): number[] {
  return [of.dryer, of.supply, of.primary, of.secondary, of.rear, of.front, of.springs];
}

/** The masses while steps are worked out. Whatever leaves one place arrives at another, so that no air is lost or made. */
export interface Moves {
  /** Absolute pressure of one kg of air in each volume, Pa. */
  readonly paPerKg: readonly number[];
  readonly seconds: number;
  /** kg in each volume. */
  readonly kg: number[];
  /** kg drawn from and let out to the atmosphere since the beginning. */
  drawnIn: number;
  vented: number;
}

/** Absolute pressure in Pa of the volume at a place. */
export function pressureIn(moves: Moves, place: number): number {
  return (moves.kg[place] ?? 0) * (moves.paPerKg[place] ?? 0);
}

/** Air flows one way, from the higher to the lower pressure, until they are equal or `to` has reached `ceiling` (absolute, Pa). */
export function pass(
  moves: Moves,
  from: number,
  to: number,
  valve: Valve,
  ceiling = Infinity,
  seconds = moves.seconds,
): void {
  const upstream = pressureIn(moves, from);
  const downstream = pressureIn(moves, to);
  if (upstream <= downstream || downstream >= ceiling) return;
  const perKg = moves.paPerKg[to] ?? 0;
  const untilEqual = (upstream - downstream) / ((moves.paPerKg[from] ?? 0) + perKg);
  const untilCeiling = (ceiling - downstream) / perKg;
  const flow = valveFlow(valve.conductance, valve.critical, upstream, downstream);
  const kg = passing(flow, seconds, Math.min(untilEqual, untilCeiling));
  moves.kg[from] = (moves.kg[from] ?? 0) - kg;
  moves.kg[to] = (moves.kg[to] ?? 0) + kg;
}

/** Air leaves to the atmosphere at `flow` kg/s, until `floor` (absolute, Pa) is reached. */
export function vent(moves: Moves, from: number, flow: number, floor = ATMOSPHERE): void {
  const kg = passing(flow, moves.seconds, (pressureIn(moves, from) - floor) / (moves.paPerKg[from] ?? 0));
  moves.kg[from] = (moves.kg[from] ?? 0) - kg;
  moves.vented += kg;
}

/** Air is drawn from the atmosphere at `flow` kg/s. */
export function draw(moves: Moves, to: number, flow: number): void {
  const kg = flow * moves.seconds;
  moves.kg[to] = (moves.kg[to] ?? 0) + kg;
  moves.drawnIn += kg;
}
