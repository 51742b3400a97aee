import { ATMOSPHERE, passing, valveFlow } from './gas.ts';
import type { Plant, VolumeName } from './plant.ts';

/** A valve or pipe by ISO 6358: sonic conductance in m³/(s Pa) and critical pressure ratio. */
export interface Valve {
  readonly conductance: number;
  readonly critical: number;
}

/** The masses while one step is worked out. Whatever leaves one place arrives at another, so that no air is lost or made. */
export interface Moves {
  readonly paPerKg: Plant['paPerKg'];
  readonly seconds: number;
  /** kg in each volume. */
  readonly kg: Record<VolumeName, number>;
  /** kg drawn from and let out to the atmosphere since the beginning. */
  drawnIn: number;
  vented: number;
}

/** Absolute pressure in Pa. */
export function pressureIn(moves: Moves, name: VolumeName): number {
  return moves.kg[name] * moves.paPerKg[name];
}

/** Air flows one way, from the higher to the lower pressure, until they are equal or `to` has reached `ceiling` (absolute, Pa). */
export function pass(
  moves: Moves,
  from: VolumeName,
  to: VolumeName,
  valve: Valve,
  { ceiling = Infinity, seconds = moves.seconds } = {},
): void {
  const upstream = pressureIn(moves, from);
  const downstream = pressureIn(moves, to);
  if (upstream <= downstream || downstream >= ceiling) return;
  const untilEqual = (upstream - downstream) / (moves.paPerKg[from] + moves.paPerKg[to]);
  const untilCeiling = (ceiling - downstream) / moves.paPerKg[to];
  const flow = valveFlow(valve.conductance, valve.critical, upstream, downstream);
  const kg = passing(flow, seconds, Math.min(untilEqual, untilCeiling));
  moves.kg[from] -= kg;
  moves.kg[to] += kg;
}

/** Air leaves to the atmosphere at `flow` kg/s, until `floor` (absolute, Pa) is reached. */
export function vent(moves: Moves, from: VolumeName, flow: number, floor = ATMOSPHERE): void {
  const kg = passing(flow, moves.seconds, (pressureIn(moves, from) - floor) / moves.paPerKg[from]);
  moves.kg[from] -= kg;
  moves.vented += kg;
}

/** Air is drawn from the atmosphere at `flow` kg/s. */
export function draw(moves: Moves, to: VolumeName, flow: number): void {
  const kg = flow * moves.seconds;
  moves.kg[to] += kg;
  moves.drawnIn += kg;
}
