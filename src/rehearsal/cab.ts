import type { AirEvent, AirState } from '../airsystem/air.ts';
import { createAir, run } from '../airsystem/air.ts';
import type { Controls } from '../airsystem/controls.ts';
import { HANDS_OFF } from '../airsystem/controls.ts';
import type { Fault } from '../airsystem/fault.ts';
import { gauges } from '../airsystem/gauges.ts';
import type { Scenario } from '../airsystem/scenario.ts';
import type { Ms } from '../units/time.ts';

/** What the dials and the parking valve showed at one moment. */
export interface Sample {
  readonly at: Ms;
  /** Needles in psi, unrounded. */
  readonly primary: number;
  readonly secondary: number;
  readonly parkingOut: boolean;
}

/** What the hands did: these controls from `at` on. */
export interface Hands {
  readonly at: Ms;
  readonly controls: Controls;
}

/** The simulated cab with all that has happened in it. Plain data. */
export interface Cab {
  readonly at: Ms;
  readonly air: AirState;
  /** One sample every `SAMPLE_MS` from 0 on. */
  readonly trace: readonly Sample[];
  /** Changes of the controls, in order; the first at 0. */
  readonly hands: readonly Hands[];
  readonly happened: readonly AirEvent[];
}

export const SAMPLE_MS: Ms = 100;

/** A parked cab with nobody's hands on it. */
export function openCab(scenario: Scenario, faults: readonly Fault[]): Cab {
  const air = createAir(scenario.rig, faults, scenario.startPsi);
  return { at: 0, air, trace: [sampleOf(air, 0)], hands: [{ at: 0, controls: HANDS_OFF }], happened: [] };
}

/** The cab at `until`, with the controls held from now to then. A push or pull at the parking valve lasts as long. */
export function runCab(cab: Cab, controls: Controls, until: Ms): Cab {
  if (until < cab.at) throw new RangeError(`the clock stands at ${cab.at} ms and cannot go back to ${until} ms`);
  const samples: Sample[] = [];
  const events: AirEvent[] = [];
  let { air } = cab;
  const go = (to: Ms): void => {
    air = run(air, controls, to);
    events.push(...air.events);
  };
  for (let next = cab.trace.length * SAMPLE_MS; next <= until; next += SAMPLE_MS) {
    go(next);
    samples.push(sampleOf(air, next));
  }
  go(until);
  return {
    at: until,
    air,
    trace: samples.length === 0 ? cab.trace : [...cab.trace, ...samples],
    hands: isSame(cab.hands.at(-1)?.controls, controls) ? cab.hands : [...cab.hands, { at: cab.at, controls }],
    happened: events.length === 0 ? cab.happened : [...cab.happened, ...events],
  };
}

/** The cab as it was at `at`, when its air was `air`: what came after that has not happened. */
export function rewindCab(cab: Cab, at: Ms, air: AirState): Cab {
  return {
    at,
    air,
    trace: cab.trace.slice(0, Math.floor(at / SAMPLE_MS) + 1),
    hands: cab.hands.filter((hand, index) => index === 0 || hand.at < at),
    happened: cab.happened.filter((event) => event.at <= air.at),
  };
}

function sampleOf(air: AirState, at: Ms): Sample {
  return { at, ...gauges(air), parkingOut: air.parkingOut };
}

function isSame(one: Controls | undefined, other: Controls): boolean {
  if (one === undefined) return false;
  const keys = new Set([...Object.keys(one), ...Object.keys(other)]) as Set<keyof Controls>;
  return [...keys].every((key) => one[key] === other[key]);
}
