import type { Ms } from '../units/time.ts';
import { pullShare, retardingShare } from './brakes.ts';
import { freeAirDelivered } from './compressor.ts';
import type { Controls } from './controls.ts';
import { askedPsi, engineRpm } from './controls.ts';
import type { Circuit } from '../units/circuit.ts';
import type { Fault } from './fault.ts';
import { absolute, ATMOSPHERE, gaugePsi, massOf, orificeFlow, valveFlow } from './gas.ts';
import type { Moves, Valve } from './moves.ts';
import { draw, pass, PLACE, placed, pressureIn, vent } from './moves.ts';
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
  const works = worksOf(air, controls, stepMs);
  work(works);
  return stateOf(works);
}

/**
 * Whole steps until the clock would pass `until`; what is left over waits for the next call, so that any frame rate gives the same
 * run. `events` are those of the whole run. A push or pull in `controls` is held throughout.
 */
export function run(air: AirState, controls: Controls, until: Ms, stepMs: Ms = STEP_MS): AirState {
  if (air.at + stepMs > until) return { ...air, events: [] };
  const works = worksOf(air, controls, stepMs);
  while (works.at + stepMs <= until) work(works);
  return stateOf(works);
}

/** An air system while its steps are worked out, one after the other in the same place, and what holds in all of them. */
interface Works extends Moves {
  readonly air: AirState;
  readonly plant: Plant;
  readonly controls: Controls;
  readonly stepMs: Ms;
  readonly rpm: number;
  readonly asked: { readonly rear: number; readonly front: number };
  at: Ms;
  loaded: boolean;
  parkingOut: boolean;
  readonly lowAir: Record<Circuit, boolean>;
  buzzer: boolean;
  readonly needles: Record<Circuit, number>;
  moving: boolean;
  readonly events: AirEvent[];
}

function worksOf(air: AirState, controls: Controls, stepMs: Ms): Works {
  if (!(stepMs > 0 && stepMs <= 50)) throw new RangeError(`a step of ${stepMs} ms is outside 0 to 50 ms`);
  const { plant, rig } = air;
  return {
    air,
    plant,
    controls,
    stepMs,
    seconds: stepMs / 1000,
    rpm: engineRpm(controls, rig),
    asked: askedPsi(controls, rig),
    paPerKg: placed(plant.paPerKg),
    kg: placed(air.kg),
    drawnIn: air.drawnIn,
    vented: air.vented,
    at: air.at,
    loaded: air.loaded,
    parkingOut: air.parkingOut,
    lowAir: { ...air.lowAir },
    buzzer: air.buzzer,
    needles: { ...air.needles },
    moving: air.moving,
    events: [],
  };
}

function stateOf(works: Works): AirState {
  const { air, kg, at, drawnIn, vented, loaded, parkingOut, lowAir, buzzer, needles, moving, events } = works;
  return {
    at,
    rig: air.rig,
    plant: air.plant,
    kg: forEachVolume((name) => kg[PLACE[name]] ?? 0),
    initial: air.initial,
    drawnIn,
    vented,
    loaded,
    parkingOut,
    lowAir,
    buzzer,
    needles,
    moving,
    events,
  };
}

/** One step. */
function work(works: Works): void {
  const { plant, controls, rpm, asked, seconds, events } = works;
  const at = works.at + works.stepMs;
  works.at = at;
  const primaryBefore = pressureIn(works, PLACE.primary);
  const secondaryBefore = pressureIn(works, PLACE.secondary);
  charge(works);
  brake(works, 'primary', PLACE.rear, asked.rear);
  brake(works, 'secondary', PLACE.front, asked.front);
  const handOut = controls.parking === 'leave' ? works.parkingOut : controls.parking === 'pull';
  holdOff(works, handOut);

  const primary = pressureIn(works, PLACE.primary);
  const secondary = pressureIn(works, PLACE.secondary);
  const popped = !handOut && Math.max(primary, secondary) <= plant.popOut;
  if (popped && !works.parkingOut) events.push({ at, kind: 'valve-popped' });
  works.parkingOut = handOut || popped;

  const supply = pressureIn(works, PLACE.supply);
  const loaded = works.loaded ? supply < plant.cutOut : supply <= plant.cutIn;
  if (rpm > 0 && loaded !== works.loaded) {
    events.push({ at, kind: loaded ? 'governor-cut-in' : 'governor-cut-out' });
    if (!loaded) events.push({ at, kind: 'dryer-purge' });
  }
  works.loaded = loaded;

  const { lowAir, needles } = works;
  lowAir.primary = switchClosed(lowAir.primary, primary, plant.lowAir.primary);
  lowAir.secondary = switchClosed(lowAir.secondary, secondary, plant.lowAir.secondary);
  const buzzer = controls.ignition && (lowAir.primary || lowAir.secondary);
  if (buzzer !== works.buzzer) events.push({ at, kind: buzzer ? 'buzzer-on' : 'buzzer-off' });
  works.buzzer = buzzer;

  const moving = controls.drive && rpm > 0 && pullShare(works.air.rig, rpm) > held(works);
  if (moving !== works.moving) events.push({ at, kind: moving ? 'rig-moved' : 'rig-stopped' });
  works.moving = moving;

  needles.primary = needle(needles.primary, (primaryBefore + primary) / 2, plant.needle.primary, seconds);
  needles.secondary = needle(needles.secondary, (secondaryBefore + secondary) / 2, plant.needle.secondary, seconds);
}

/** What the brakes hold, as a share of the rig's weight. */
function held(works: Works): number {
  return retardingShare(works.air.rig, works.plant.springHold, {
    springs: gaugePsi(pressureIn(works, PLACE.springs)),
    rear: gaugePsi(pressureIn(works, PLACE.rear)),
    front: gaugePsi(pressureIn(works, PLACE.front)),
  });
}

/** Compressor, dryer, supply and the two circuits behind their check valves, with all that leaks from the reservoirs at any time. */
function charge(works: Works): void {
  const { plant, air, rpm } = works;
  const dryer = pressureIn(works, PLACE.dryer);
  if (!works.loaded)
    vent(works, PLACE.dryer, valveFlow(PURGE_VALVE.conductance, PURGE_VALVE.critical, dryer, ATMOSPHERE));
  else if (rpm > 0) {
    draw(works, PLACE.dryer, massOf(ATMOSPHERE, freeAirDelivered(air.rig.compressor, rpm, dryer)) * plant.delivery);
  }
  pass(works, PLACE.dryer, PLACE.supply, CHECK_VALVE);
  const supply = pressureIn(works, PLACE.supply);
  if (supply > RELIEF_AT) {
    const flow = valveFlow(RELIEF_VALVE.conductance, RELIEF_VALVE.critical, supply, ATMOSPHERE);
    vent(works, PLACE.supply, flow, RELIEF_AT);
  }
  // One circuit in two halves around the other, so that neither is always served first.
  const half = works.seconds / 2;
  pass(works, PLACE.supply, PLACE.primary, CHECK_VALVE, Infinity, half);
  pass(works, PLACE.supply, PLACE.secondary, CHECK_VALVE);
  pass(works, PLACE.supply, PLACE.primary, CHECK_VALVE, Infinity, half);
  leak(works, PLACE.primary, plant.leak.primary.always);
  leak(works, PLACE.secondary, plant.leak.secondary.always);
}

/** One circuit's service chambers follow the pressure asked for: filled from the reservoir, emptied to the atmosphere. */
function brake(works: Works, circuit: Circuit, chambers: number, psi: number): void {
  const asked = absolute(psi);
  const now = pressureIn(works, chambers);
  if (now < asked) pass(works, PLACE[circuit], chambers, APPLY_VALVE, asked);
  else vent(works, chambers, valveFlow(RELEASE_VALVE.conductance, RELEASE_VALVE.critical, now, ATMOSPHERE), asked);
  const areas = works.plant.leak[circuit];
  leak(works, chambers, areas.applied);
  if (psi === 0) leak(works, PLACE[circuit], areas.released);
}

/** The spring chambers: exhausted with the valve out, else joined to the circuit with the higher pressure, as by a double check valve. */
function holdOff(works: Works, out: boolean): void {
  const { springs, primary, secondary } = PLACE;
  if (out) {
    const pressure = pressureIn(works, springs);
    vent(works, springs, valveFlow(PARKING_VALVE.conductance, PARKING_VALVE.critical, pressure, ATMOSPHERE));
    return;
  }
  const feed = pressureIn(works, primary) >= pressureIn(works, secondary) ? primary : secondary;
  pass(works, feed, springs, PARKING_VALVE);
  pass(works, springs, feed, PARKING_VALVE);
}

function leak(works: Works, from: number, area: number): void {
  if (area > 0) vent(works, from, orificeFlow(area, pressureIn(works, from), ATMOSPHERE));
}

function switchClosed(closed: boolean, pressure: number, closesAt: number): boolean {
  return closed ? pressure < closesAt + SWITCH_HYSTERESIS : pressure <= closesAt;
}

/** A needle follows the mean pressure of the step (absolute, Pa) as a first-order lag. */
function needle(from: number, pressure: number, of: Plant['needle'][Circuit], seconds: number): number {
  const target = gaugePsi(pressure) * of.scale;
  return of.lagSeconds === 0 ? target : target + (from - target) * Math.exp(-seconds / of.lagSeconds);
}
