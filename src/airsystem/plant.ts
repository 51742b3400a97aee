import type { Circuit } from '../units/circuit.ts';
import type { Fault } from './fault.ts';
import { switchCircuits } from './fault.ts';
import { absolute, ATMOSPHERE, gaugePsi, massOf, orificeFlow, pressureOf } from './gas.ts';
import type { AirRig } from './rig.ts';
import { chamberLitres } from './rig.ts';

/** The volumes of the system, in the order that air takes. */
export const VOLUMES = ['dryer', 'supply', 'primary', 'secondary', 'rear', 'front', 'springs'] as const;
export type VolumeName = (typeof VOLUMES)[number];

/** A value for each volume. */
export function forEachVolume(value: (name: VolumeName) => number): Record<VolumeName, number> {
  return {
    dryer: value('dryer'),
    supply: value('supply'),
    primary: value('primary'),
    secondary: value('secondary'),
    rear: value('rear'),
    front: value('front'),
    springs: value('springs'),
  };
}

/** What a rig and its faults amount to, in SI units: computed once, read in every step. */
export interface Plant {
  /** m³. */
  readonly volume: Readonly<Record<VolumeName, number>>;
  /** Absolute pressure of one kg of air in each volume, Pa. */
  readonly paPerKg: Readonly<Record<VolumeName, number>>;
  /** Effective orifice areas in m²: a tank's at any time, a tank's with the service brake off, the chambers' own. */
  readonly leak: Readonly<
    Record<Circuit, { readonly always: number; readonly released: number; readonly applied: number }>
  >;
  /** Share of the compressor's delivery that is left. */
  readonly delivery: number;
  /** Absolute pressures, Pa. */
  readonly cutOut: number;
  readonly cutIn: number;
  readonly popOut: number;
  readonly lowAir: Readonly<Record<Circuit, number>>;
  readonly needle: Readonly<Record<Circuit, { readonly lagSeconds: number; readonly scale: number }>>;
  /** Share of the rig's weight that the springs hold when the parking valve is out. */
  readonly springHold: number;
}

/** Where a leak's `psiPerMinute` holds, psi: the tank for any leak, the pedal for one in the chambers. */
const LEAK_AT_PSI = 120;
const LEAK_PEDAL_PSI = 30;

/** A vacuum: what is set to it never acts. */
const NEVER_PSI = gaugePsi(0);

type Rates = Readonly<
  Record<Circuit, { readonly always: number; readonly released: number; readonly applied: number }>
>;

/**
 * The holes through which both circuits fall as their rates in psi/min say, in the first minute. Gas law: m' = (dp/dt) V / (R T), through
 * an orifice at the pressure where the rate holds. The supply tank falls with the circuit that falls faster, behind the other's closed
 * check valve, and with both when they fall alike: its air is counted once. Where the pedal decides which circuit falls faster, a leak at
 * all times keeps the hole that it has with the pedal free, and its rate with the pedal on is not exact.
 */
function leakAreas(rates: Rates, { reservoirs }: AirRig): Plant['leak'] {
  const faster = (one: number, other: number): number => (one === other ? 0.5 : Number(one > other));
  /** kg/s that a circuit loses, beside the supply tank's. */
  const lost = (circuit: Circuit, when: 'released' | 'applied'): number => {
    const rateOf = (of: Circuit): number => rates[of].always + rates[of][when];
    const supplyShare = faster(rateOf(circuit), rateOf(circuit === 'primary' ? 'secondary' : 'primary'));
    const volume = (reservoirs[circuit] + supplyShare * reservoirs.supply) / 1000;
    return massOf(absolute(rateOf(circuit) / 60) - ATMOSPHERE, volume);
  };
  const perArea = orificeFlow(1, absolute(LEAK_AT_PSI), ATMOSPHERE);
  const areas = (circuit: Circuit): Plant['leak'][Circuit] => {
    const { always, released, applied } = rates[circuit];
    const fromTank = lost(circuit, 'released') / perArea;
    const alwaysOpen = always === 0 ? 0 : (fromTank * always) / (always + released);
    const fromChambers = Math.max(0, lost(circuit, 'applied') - alwaysOpen * perArea);
    return {
      always: alwaysOpen,
      released: fromTank - alwaysOpen,
      applied: applied === 0 ? 0 : fromChambers / orificeFlow(1, absolute(LEAK_PEDAL_PSI), ATMOSPHERE),
    };
  };
  return { primary: areas('primary'), secondary: areas('secondary') };
}

/** The constants of a rig with its faults. The faults must not contradict each other; `readScenario` sees to that. */
export function plantOf(rig: AirRig, faults: readonly Fault[]): Plant {
  const chambers = chamberLitres(rig);
  const resting = { always: rig.restingLeakPsiPerMinute, released: 0, applied: 0 };
  const perMinute = { primary: { ...resting }, secondary: { ...resting } };
  const needle = {
    primary: { lagSeconds: rig.gauge.lagSeconds, scale: 1 },
    secondary: { lagSeconds: rig.gauge.lagSeconds, scale: 1 },
  };
  const lowAirPsi = { primary: rig.lowAirPsi, secondary: rig.lowAirPsi };
  let governor: { cutOutPsi: number; cutInPsi: number } = rig.governor;
  let delivery = 1;
  let popsAtPsi = rig.popOutPsi;
  let springHold = rig.springBrakes.holdShare;

  for (const fault of faults) {
    switch (fault.kind) {
      case 'leak':
        perMinute[fault.circuit][fault.when] += fault.psiPerMinute;
        break;
      case 'worn-compressor':
        delivery *= fault.remaining;
        break;
      case 'governor':
        governor = fault;
        break;
      case 'dead-low-air-switch':
        for (const circuit of switchCircuits(fault)) lowAirPsi[circuit] = NEVER_PSI;
        break;
      case 'late-low-air-switch':
        for (const circuit of switchCircuits(fault)) lowAirPsi[circuit] = fault.closesAtPsi;
        break;
      case 'sticking-parking-valve':
        popsAtPsi = fault.popsAtPsi === 0 ? NEVER_PSI : fault.popsAtPsi;
        break;
      case 'lagging-gauge':
        needle[fault.circuit].lagSeconds = fault.seconds;
        break;
      case 'high-gauge':
        needle[fault.circuit].scale = 1 + fault.percent / 100;
        break;
      case 'weak-hold':
        springHold *= fault.remaining;
        break;
    }
  }

  const volume = {
    dryer: rig.dryerLitres / 1000,
    supply: rig.reservoirs.supply / 1000,
    primary: rig.reservoirs.primary / 1000,
    secondary: rig.reservoirs.secondary / 1000,
    rear: (chambers.rear * rig.chambers.stroke) / 1000,
    front: (chambers.front * rig.chambers.stroke) / 1000,
    springs: rig.springBrakes.litres / 1000,
  };
  return {
    volume,
    paPerKg: forEachVolume((name) => pressureOf(1, volume[name])),
    leak: leakAreas(perMinute, rig),
    delivery,
    cutOut: absolute(governor.cutOutPsi),
    cutIn: absolute(governor.cutInPsi),
    popOut: absolute(popsAtPsi),
    lowAir: { primary: absolute(lowAirPsi.primary), secondary: absolute(lowAirPsi.secondary) },
    needle,
    springHold,
  };
}
