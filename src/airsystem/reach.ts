import type { Pressure } from '../units/pressure.ts';
import { pressureIn } from '../units/pressure.ts';
import type { Circuit } from '../units/circuit.ts';

/**
 * Which pressures can follow from a last reading, by the physics of any air brake system and the state of the cab in the time between.
 * It knows no fault and no limit: a needle outside `possible` was read, heard or said wrongly, or the cab was not in that state.
 */

/** What was known of the cab for a stretch of time. `unknown` may have been anything. */
export interface CabHeld {
  /** `running`: at any speed the throttle gives, most likely near idle; `fast-idle`: up to governed speed. */
  readonly engine: 'off' | 'running' | 'fast-idle' | 'unknown';
  /** `applied`: put on at most once in the stretch and kept there; `fanned`: on and off as fast as it goes. */
  readonly pedal: 'free' | 'applied' | 'fanned' | 'unknown';
  /** `released`: pushed in, at most once in the stretch; `set`: pulled out. */
  readonly parking: 'set' | 'released' | 'unknown';
}

export interface Stretch {
  readonly cab: CabHeld;
  /** 0 or more. */
  readonly seconds: number;
}

/** What is known of the rig; what is missing is that of the smallest rig (`GENERIC_LITRES`). */
export interface ReachRig {
  /** Litres. */
  readonly reservoirs?: { readonly supply?: number; readonly primary?: number; readonly secondary?: number };
  /** Smallest readable step of each dial; 1 psi when not known. */
  readonly resolution?: { readonly primary?: Pressure; readonly secondary?: Pressure };
  /** 12 times the service chambers at full stroke, litres (49 CFR 571.121 S5.1.2.1); all reservoirs have as much when not known. */
  readonly requiredReservoirs?: number;
  /** Rated displacement of the compressor, l/min; counts where it is more than the generic one. */
  readonly compressorDisplacement?: number;
}

/** psi, both ends included. */
interface Bounds {
  readonly min: number;
  readonly max: number;
}
export type Reach = Readonly<Record<Circuit, Bounds>>;

/** Outside `possible` it cannot be; outside `likely` it hardly can, and is worth a question. `likely` lies within `possible`. */
export interface Reachable {
  readonly possible: Reach;
  readonly likely: Reach;
}

/** Standard atmosphere, psi (ISO 2533). */
const ATMOSPHERE_PSI = 14.696;

/**
 * Litres. All reservoirs of the smallest rig: 12 times the service chambers at full stroke (49 CFR 571.121 S5.1.2.1), two of type 24 and
 * two of type 30, is 3744 in³ (61.4 l; type 24 from memory). Half of it, ours: one circuit's tank with the supply tank.
 */
const GENERIC_LITRES = { all: 61.4, oneAndSupply: 30.7 };
/** Share of one circuit and the supply tank that is the supply tank's; ours, near that of a rig with three like tanks. */
const GENERIC_SUPPLY_SHARE = 0.5;

/**
 * Free air swept by a compressor of the 18.7 cfm class at 1250 rpm, l/min (class named in a published pumper purchase specification; a
 * compressor maker's data sheet gives 13.2 cfm at 1250 rpm for a smaller one), and how much of it is delivered: all at most, about 60 %
 * near 100 psi.
 */
const GENERIC_DISPLACEMENT = 18.7 * 28.317;
const RATED_RPM = 1250;
const DELIVERED = { possible: 1, likely: 0.6 };
/** Governed speed of a truck diesel, and a fast idle, rpm; common practice, no source. */
const GOVERNED_RPM = 2100;
const IDLE_AT_MOST_RPM = 1200;
/** Circuits may fill in order: one alone up to 95 psi (British Columbia, driving commercial vehicles, chapter 10). */
const IN_ORDER_PSI = 95;

/** Safety valve at 150 psi at most (California Vehicle Code 26503), shown up to 10 % high (26505: gauge within 10 %). */
const HIGHEST = { possible: 165, likely: 150 };

/**
 * One full application takes a tank's gauge pressure P to P × k/(k+1), where the tank is k times the chambers it fills: 12 of all tanks
 * together (49 CFR 571.121 S5.1.2.1); 6, ours, for one circuit's own. Fast, the air expands with n = 1.4, and warms again afterwards.
 */
const TANK_PER_CHAMBERS = { possible: 6, likely: 12 };
const FAST = 1.4;
/**
 * Seconds of one application: 0.45 to apply and 0.55 to release (49 CFR 571.121 S5.3.3 and S5.3.4; the second from memory).
 */
const APPLICATION_SECONDS = 1;
/** By how much, at most, the absolute pressure of a tank rises again as it warms after a fast full application: (13/12)^0.4. */
const REWARMING = (13 / 12) ** (FAST - 1);

/**
 * Seconds in which a leak lets the absolute pressure fall to 1/e. Possible: the largest line torn off, 11 mm bore (from memory) on 30.7 l:
 * V / (A √(RT) × 0.685). Likely, ours: 60 psi in the first minute from 120 psi, twenty times what any document tolerates.
 */
const TIME_CONSTANT = { possible: 1.6, likely: 134.7 };

/** Needles are called up to this long after they were looked at, and so is what was done in the cab; seconds. Ours. */
const CALLED_LATE = 2;
/** Difference of two readings: each to the nearest mark, and as much again by parallax; marks. Ours. */
const MARKS = 2;

type Kind = keyof Reachable;

/** Pressures that can follow from a reading in psi after `seconds` (0 or more) with the cab in one state. */
export function reachable(
  rig: ReachRig | undefined,
  from: Readonly<Record<Circuit, number>>,
  cab: CabHeld,
  seconds: number,
): Reachable {
  return reachableThrough(rig, from, [{ cab, seconds }]);
}

/** The same through several states of the cab, in order; neighbours alike count as one stretch. Either is computed when it is asked for. */
export function reachableThrough(
  rig: ReachRig | undefined,
  from: Readonly<Record<Circuit, number>>,
  stretches: readonly Stretch[],
): Reachable {
  const joined = joinAlike(stretches);
  const through = (kind: Kind): Reach => {
    const start: Reach = { primary: point(from.primary), secondary: point(from.secondary) };
    const end = joined.reduce((reach, stretch) => after(kind, rig ?? {}, reach, stretch), start);
    // What the first reading came from is not known: just before it the pedal may have been used.
    const warms = kind === 'possible' || joined.some(({ cab }) => cab.pedal !== 'free');
    return { primary: asRead(rig, end, 'primary', warms), secondary: asRead(rig, end, 'secondary', warms) };
  };
  return {
    get possible() {
      return through('possible');
    },
    get likely() {
      return through('likely');
    },
  };
}

/** What is known to have been done with the air of both circuits, engine off at the end. */
export interface KnownUse {
  /** How often chambers were filled: the parking brake released, the pedal put on. */
  readonly fills: number;
  /** The compressor ran in the time, so that its warm air may have cooled. */
  readonly cools: boolean;
  /** 0 or more. */
  readonly seconds: number;
  /** psi a minute that each circuit may leak. */
  readonly leak: number;
}

/** The lowest needles, in psi, that known use and a leak leave of a reading: what is below it was lost by something else. */
export function leastLeft(
  rig: ReachRig | undefined,
  from: Readonly<Record<Circuit, number>>,
  { fills, cools, seconds, leak }: KnownUse,
): Readonly<Record<Circuit, number>> {
  const k = TANK_PER_CHAMBERS.likely * roominess(rig ?? {});
  const left = (circuit: Circuit): number => {
    const filled = absolute(from[circuit] * (k / (k + 1)) ** fills);
    const cooled = fills > 0 || cools ? filled / REWARMING : filled;
    const psi = cooled - ATMOSPHERE_PSI - (leak * (seconds + CALLED_LATE)) / 60;
    return Math.max(0, psi - readingError(rig, circuit));
  };
  return { primary: left('primary'), secondary: left('secondary') };
}

/** How many times the least the tanks of the rig hold; 1 when not known. */
function roominess({ reservoirs, requiredReservoirs }: ReachRig): number {
  const { supply, primary, secondary } = reservoirs ?? {};
  if (supply === undefined || primary === undefined || secondary === undefined || requiredReservoirs === undefined)
    return 1;
  return (supply + primary + secondary) / requiredReservoirs;
}

function point(psi: number): Bounds {
  return { min: psi, max: psi };
}

function joinAlike(stretches: readonly Stretch[]): readonly Stretch[] {
  const joined: Stretch[] = [];
  for (const stretch of stretches) {
    const last = joined.at(-1);
    if (last === undefined || !isAlike(last.cab, stretch.cab)) joined.push(stretch);
    else joined[joined.length - 1] = { cab: last.cab, seconds: last.seconds + stretch.seconds };
  }
  return joined;
}

function isAlike(one: CabHeld, other: CabHeld): boolean {
  return one.engine === other.engine && one.pedal === other.pedal && one.parking === other.parking;
}

function after(kind: Kind, rig: ReachRig, from: Reach, { cab, seconds }: Stretch): Reach {
  const time = seconds + CALLED_LATE;
  const bounds = (circuit: Circuit): Bounds => ({
    min: lowest(kind, from[circuit].min, cab, time),
    max: highest(kind, rig, from, circuit, cab, time),
  });
  return { primary: bounds('primary'), secondary: bounds('secondary') };
}

/** By how much the next reading may differ from what the air alone would do at one temperature. */
function asRead(rig: ReachRig | undefined, reach: Reach, circuit: Circuit, warms: boolean): Bounds {
  const { min, max } = reach[circuit];
  const error = readingError(rig, circuit);
  const warmed = warms ? absolute(max) * REWARMING - ATMOSPHERE_PSI : max;
  return { min: Math.max(0, min - error), max: warmed + error };
}

/** psi. */
function readingError(rig: ReachRig | undefined, circuit: Circuit): number {
  const mark = rig?.resolution?.[circuit];
  return MARKS * (mark === undefined ? 1 : pressureIn(mark, 'psi'));
}

/** All that can empty a circuit: applications, filling the spring brakes once, and a leak. */
function lowest(kind: Kind, from: number, { pedal, parking }: CabHeld, seconds: number): number {
  // The spring chambers of a circuit take at most what its service chambers do; ours, no source.
  const fills = applications(pedal, seconds) + (parking === 'set' ? 0 : 1);
  const used = absolute(afterFills(kind, from, fills));
  return Math.max(0, used * Math.exp(-seconds / TIME_CONSTANT[kind]) - ATMOSPHERE_PSI);
}

function applications(pedal: CabHeld['pedal'], seconds: number): number {
  if (pedal === 'free') return 0;
  return pedal === 'applied' ? 1 : Math.ceil(seconds / APPLICATION_SECONDS);
}

function afterFills(kind: Kind, from: number, fills: number): number {
  if (fills === 0) return from;
  const k = TANK_PER_CHAMBERS[kind];
  const left = k / (k + 1);
  // Possible: each so soon after the other that the tank does not warm between them.
  if (kind === 'possible') return Math.max(0, absolute(from) * left ** (FAST * fills) - ATMOSPHERE_PSI);
  return Math.max(0, absolute(from * left ** fills) / REWARMING - ATMOSPHERE_PSI);
}

/**
 * All that can fill a circuit. With the engine off nothing does: a check valve keeps each circuit to itself (49 CFR 571.121: a failed
 * circuit cannot empty the other). Running, all delivered air goes to the lower circuit and the supply tank until it has reached the
 * other, then to all tanks.
 */
function highest(kind: Kind, rig: ReachRig, from: Reach, circuit: Circuit, cab: CabHeld, seconds: number): number {
  const now = from[circuit].max;
  if (cab.engine === 'off') return now;
  const other = from[circuit === 'primary' ? 'secondary' : 'primary'].max;
  const litres = litresOf(rig, circuit);
  // A supply tank as full as the other circuit gives to this one before the compressor does.
  const shared = now + Math.max(0, other - now) * litres.supplyShare;
  const alone = kind === 'possible' ? Math.max(other, IN_ORDER_PSI) : other;
  const freeAir = (deliveredPerMinute(kind, rig, cab.engine) * seconds) / 60;
  const untilAlone = (Math.max(0, alone - shared) / ATMOSPHERE_PSI) * litres.oneAndSupply;
  const first = Math.min(freeAir, untilAlone);
  const rise = ATMOSPHERE_PSI * (first / litres.oneAndSupply + (freeAir - first) / litres.all);
  return Math.max(now, Math.min(HIGHEST[kind], shared + rise));
}

interface Litres {
  readonly all: number;
  readonly oneAndSupply: number;
  readonly supplyShare: number;
}

function litresOf({ reservoirs }: ReachRig, circuit: Circuit): Litres {
  const { supply, primary, secondary } = reservoirs ?? {};
  if (supply === undefined || primary === undefined || secondary === undefined) {
    return { ...GENERIC_LITRES, supplyShare: GENERIC_SUPPLY_SHARE };
  }
  const oneAndSupply = supply + (circuit === 'primary' ? primary : secondary);
  return { all: supply + primary + secondary, oneAndSupply, supplyShare: supply / oneAndSupply };
}

function deliveredPerMinute(kind: Kind, rig: ReachRig, engine: CabHeld['engine']): number {
  const rpm = kind === 'likely' && engine === 'running' ? IDLE_AT_MOST_RPM : GOVERNED_RPM;
  const rated = Math.max(GENERIC_DISPLACEMENT, rig.compressorDisplacement ?? 0);
  return rated * (rpm / RATED_RPM) * DELIVERED[kind];
}

function absolute(psi: number): number {
  return psi + ATMOSPHERE_PSI;
}
