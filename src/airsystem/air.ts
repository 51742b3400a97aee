import type { Ms } from '../units/time.ts';
import { pullShare, retardingShare } from './brakes.ts';
import { freeAirDelivered } from './compressor.ts';
import type { Controls } from './controls.ts';
import { askedPsi, engineRpm } from './controls.ts';
import type { Circuit } from '../units/circuit.ts';
import type { Fault } from './fault.ts';
import { absolute, ATMOSPHERE, gaugePsi, massOf, orificeFlow, valveFlow } from './gas.ts';
import type { Moves, Valve } from './moves.ts';
import { draw, pass, pressureIn, vent } from './moves.ts';
import type { Plant, VolumeName } from './plant.ts';
import { forEachVolume, plantOf, VOLUMES } from './plant.ts';
import type { AirRig } from './rig.ts';

export type AirEventKind =
  | 'governor-cut-out'
  | 'governor-cut-in'
  | 'dryer-purge'
  | 'buzzer-on'
  | 'buzzer-off'
  | 'valve-popped'
  | 'rig-moved'
  | 'rig-stopped';

/** Something heard or felt in the cab. */
export interface AirEvent {
  readonly at: Ms;
  readonly kind: AirEventKind;
}

/** One moment of an air system. Plain data: two equal states run on equally. */
export interface AirState {
  /** On the clock of the rehearsal; 0 at `createAir`. */
  readonly at: Ms;
  readonly rig: AirRig;
  readonly plant: Plant;
  /** kg of air in each volume. */
  readonly kg: Readonly<Record<VolumeName, number>>;
  /** kg since `at` 0; `initial` was there at the beginning. See `airMass`. */
  readonly initial: number;
  readonly drawnIn: number;
  readonly vented: number;
  /** The compressor pumps whenever the engine turns; false once the governor has cut out. */
  readonly loaded: boolean;
  /** The parking valve is out: spring brakes applied. */
  readonly parkingOut: boolean;
  /** Low-air switches closed. */
  readonly lowAir: Readonly<Record<Circuit, boolean>>;
  readonly buzzer: boolean;
  /** Where each needle stands, psi. */
  readonly needles: Readonly<Record<Circuit, number>>;
  /** The engine overcomes the brakes. */
  readonly moving: boolean;
  /** What happened in the step, or in the whole of a `run`, that led here; in order. */
  readonly events: readonly AirEvent[];
}

/** Gauge pressures in psi at the beginning; a missing supply is the lower of the two, as more would have passed on. */
export interface StartPsi {
  readonly primary: number;
  readonly secondary: number;
  readonly supply?: number;
}

/** The fixed step, ms. Halving it changes no needle by 0.1 psi in a whole check (reference test). */
const STEP_MS = 10;

const LITRE_PER_SECOND_BAR = 1e-8;
/** Ours, no source: sizes that fill and empty the demo rigs' chambers within the times of 49 CFR 571.121 S5.3.3 and S5.3.4. */
const CHECK_VALVE: Valve = { conductance: 20 * LITRE_PER_SECOND_BAR, critical: 0.3 };
const APPLY_VALVE: Valve = { conductance: 12 * LITRE_PER_SECOND_BAR, critical: 0.3 };
const RELEASE_VALVE: Valve = { conductance: 16 * LITRE_PER_SECOND_BAR, critical: 0.3 };
const PARKING_VALVE: Valve = { conductance: 5 * LITRE_PER_SECOND_BAR, critical: 0.3 };
const PURGE_VALVE: Valve = { conductance: 2 * LITRE_PER_SECOND_BAR, critical: 0.3 };
const RELIEF_VALVE: Valve = { conductance: 20 * LITRE_PER_SECOND_BAR, critical: 0.3 };
/** Safety valve: at most 150 psi (California Vehicle Code 26503, seen). */
const RELIEF_AT = absolute(150);
/** A closed low-air switch opens again this much higher. Ours, no source. */
const SWITCH_HYSTERESIS = absolute(4) - ATMOSPHERE;
const CIRCUITS = ['primary', 'secondary'] as const;
/** Morning pressure that asks neither for filling nor for bleeding before the engine is started. */
export const MORNING: StartPsi = { primary: 75, secondary: 75 };

/** A parked rig with cold needles at rest: valve out, engine off, brakes released. `faults` must not contradict each other. */
export function createAir(rig: AirRig, faults: readonly Fault[] = [], start: StartPsi = MORNING): AirState {
  const plant = plantOf(rig, faults);
  const supply = start.supply ?? Math.min(start.primary, start.secondary);
  const psi: Partial<Record<VolumeName, number>> = { ...start, supply };
  const kg = forEachVolume((name) => massOf(absolute(psi[name] ?? 0), plant.volume[name]));
  return {
    at: 0,
    rig,
    plant,
    kg,
    initial: VOLUMES.reduce((sum, name) => sum + kg[name], 0),
    drawnIn: 0,
    vented: 0,
    loaded: absolute(supply) < plant.cutOut,
    parkingOut: true,
    lowAir: {
      primary: absolute(start.primary) <= plant.lowAir.primary,
      secondary: absolute(start.secondary) <= plant.lowAir.secondary,
    },
    buzzer: false,
    needles: {
      primary: start.primary * plant.needle.primary.scale,
      secondary: start.secondary * plant.needle.secondary.scale,
    },
    moving: false,
    events: [],
  };
}

/** The air system `stepMs` later (above 0, at most 50 ms), with the controls held. `events` are those of this step alone. */
export function step(air: AirState, controls: Controls, stepMs: Ms = STEP_MS): AirState {
  if (!(stepMs > 0 && stepMs <= 50)) throw new RangeError(`a step of ${stepMs} ms is outside 0 to 50 ms`);
  const { rig, plant } = air;
  const seconds = stepMs / 1000;
  const at = air.at + stepMs;
  const events: AirEvent[] = [];
  const happened = (kind: AirEventKind) => events.push({ at, kind });
  const moves: Moves = {
    paPerKg: plant.paPerKg,
    seconds,
    kg: { ...air.kg },
    drawnIn: air.drawnIn,
    vented: air.vented,
  };
  const rpm = engineRpm(controls, rig);
  const asked = askedPsi(controls, rig);

  const before = { primary: pressureIn(moves, 'primary'), secondary: pressureIn(moves, 'secondary') };
  charge(moves, air, rpm);
  brake(moves, plant, 'primary', 'rear', asked.rear);
  brake(moves, plant, 'secondary', 'front', asked.front);
  const handOut = controls.parking === 'leave' ? air.parkingOut : controls.parking === 'pull';
  holdOff(moves, handOut);

  const primary = pressureIn(moves, 'primary');
  const secondary = pressureIn(moves, 'secondary');
  const popped = !handOut && Math.max(primary, secondary) <= plant.popOut;
  if (popped && !air.parkingOut) happened('valve-popped');

  const supply = pressureIn(moves, 'supply');
  const loaded = air.loaded ? supply < plant.cutOut : supply <= plant.cutIn;
  if (rpm > 0 && loaded !== air.loaded) {
    happened(loaded ? 'governor-cut-in' : 'governor-cut-out');
    if (!loaded) happened('dryer-purge');
  }

  const lowAir = {
    primary: switchClosed(air.lowAir.primary, primary, plant.lowAir.primary),
    secondary: switchClosed(air.lowAir.secondary, secondary, plant.lowAir.secondary),
  };
  const buzzer = controls.ignition && (lowAir.primary || lowAir.secondary);
  if (buzzer !== air.buzzer) happened(buzzer ? 'buzzer-on' : 'buzzer-off');

  const held = retardingShare(rig, plant.springHold, {
    springs: gaugePsi(pressureIn(moves, 'springs')),
    rear: gaugePsi(pressureIn(moves, 'rear')),
    front: gaugePsi(pressureIn(moves, 'front')),
  });
  const moving = controls.drive && rpm > 0 && pullShare(rig, rpm) > held;
  if (moving !== air.moving) happened(moving ? 'rig-moved' : 'rig-stopped');

  return {
    at,
    rig,
    plant,
    kg: moves.kg,
    initial: air.initial,
    drawnIn: moves.drawnIn,
    vented: moves.vented,
    loaded,
    parkingOut: handOut || popped,
    lowAir,
    buzzer,
    needles: {
      primary: needle(air.needles.primary, (before.primary + primary) / 2, plant.needle.primary, seconds),
      secondary: needle(air.needles.secondary, (before.secondary + secondary) / 2, plant.needle.secondary, seconds),
    },
    moving,
    events,
  };
}

/**
 * Whole steps until the clock would pass `until`; what is left over waits for the next call, so that any frame rate gives the same
 * run. `events` are those of the whole run. A push or pull in `controls` is held throughout.
 */
export function run(air: AirState, controls: Controls, until: Ms, stepMs: Ms = STEP_MS): AirState {
  let now: AirState = { ...air, events: [] };
  const events: AirEvent[] = [];
  while (now.at + stepMs <= until) {
    now = step(now, controls, stepMs);
    if (now.events.length > 0) events.push(...now.events);
  }
  return { ...now, events };
}

/** Compressor, dryer, supply and the two circuits behind their check valves, with all that leaks from the reservoirs at any time. */
function charge(moves: Moves, air: AirState, rpm: number): void {
  const { plant } = air;
  const dryer = pressureIn(moves, 'dryer');
  if (!air.loaded) vent(moves, 'dryer', valveFlow(PURGE_VALVE.conductance, PURGE_VALVE.critical, dryer, ATMOSPHERE));
  else if (rpm > 0) {
    draw(moves, 'dryer', massOf(ATMOSPHERE, freeAirDelivered(air.rig.compressor, rpm, dryer)) * plant.delivery);
  }
  pass(moves, 'dryer', 'supply', CHECK_VALVE);
  const supply = pressureIn(moves, 'supply');
  if (supply > RELIEF_AT) {
    const flow = valveFlow(RELIEF_VALVE.conductance, RELIEF_VALVE.critical, supply, ATMOSPHERE);
    vent(moves, 'supply', flow, RELIEF_AT);
  }
  // One circuit in two halves around the other, so that neither is always served first.
  const half = { seconds: moves.seconds / 2 };
  pass(moves, 'supply', 'primary', CHECK_VALVE, half);
  pass(moves, 'supply', 'secondary', CHECK_VALVE);
  pass(moves, 'supply', 'primary', CHECK_VALVE, half);
  for (const circuit of CIRCUITS) leak(moves, circuit, plant.leak[circuit].always);
}

/** One circuit's service chambers follow the pressure asked for: filled from the reservoir, emptied to the atmosphere. */
function brake(moves: Moves, plant: Plant, circuit: Circuit, chambers: 'rear' | 'front', psi: number): void {
  const asked = absolute(psi);
  const now = pressureIn(moves, chambers);
  if (now < asked) pass(moves, circuit, chambers, APPLY_VALVE, { ceiling: asked });
  else vent(moves, chambers, valveFlow(RELEASE_VALVE.conductance, RELEASE_VALVE.critical, now, ATMOSPHERE), asked);
  leak(moves, chambers, plant.leak[circuit].applied);
  if (psi === 0) leak(moves, circuit, plant.leak[circuit].released);
}

/** The spring chambers: exhausted with the valve out, else joined to the circuit with the higher pressure, as by a double check valve. */
function holdOff(moves: Moves, out: boolean): void {
  if (out) {
    const springs = pressureIn(moves, 'springs');
    vent(moves, 'springs', valveFlow(PARKING_VALVE.conductance, PARKING_VALVE.critical, springs, ATMOSPHERE));
    return;
  }
  const feed = pressureIn(moves, 'primary') >= pressureIn(moves, 'secondary') ? 'primary' : 'secondary';
  pass(moves, feed, 'springs', PARKING_VALVE);
  pass(moves, 'springs', feed, PARKING_VALVE);
}

function leak(moves: Moves, from: VolumeName, area: number): void {
  if (area > 0) vent(moves, from, orificeFlow(area, pressureIn(moves, from), ATMOSPHERE));
}

function switchClosed(closed: boolean, pressure: number, closesAt: number): boolean {
  return closed ? pressure < closesAt + SWITCH_HYSTERESIS : pressure <= closesAt;
}

/** A needle follows the mean pressure of the step (absolute, Pa) as a first-order lag. */
function needle(from: number, pressure: number, of: Plant['needle'][Circuit], seconds: number): number {
  const target = gaugePsi(pressure) * of.scale;
  return of.lagSeconds === 0 ? target : target + (from - target) * Math.exp(-seconds / of.lagSeconds);
}
