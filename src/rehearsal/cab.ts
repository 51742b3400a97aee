import type { AirEvent, AirState } from '../airsystem/air.ts';
import { createAir, run } from '../airsystem/air.ts';
import type { Controls } from '../airsystem/controls.ts';
import { HANDS_OFF } from '../airsystem/controls.ts';
import type { Fault } from '../airsystem/fault.ts';
import { gauges } from '../airsystem/gauges.ts';
import type { Scenario } from '../airsystem/scenario.ts';
import type { Ms } from '../units/time.ts';
import type { Sample, Trace } from './trace.ts';
import { cutAt, extended, lengthOf, SAMPLE_MS, traceFrom } from './trace.ts';

/** What the hands did: these controls from `at` on. */
export interface Hands {
  readonly at: Ms;
  readonly controls: Controls;
}

/** The simulated cab with all that has happened in it. Plain data. */
export interface Cab {
  readonly at: Ms;
  readonly air: AirState;
  readonly trace: Trace;
  /** Changes of the controls, in order; the first at 0. */
  readonly hands: readonly Hands[];
  readonly happened: readonly AirEvent[];
  /** Coarser steps of the air system, ms, where many rehearsals are simulated; its own when absent. */
  readonly stepMs?: Ms;
}

/** A parked cab with nobody's hands on it. */
export function openCab(scenario: Scenario, faults: readonly Fault[], stepMs?: Ms): Cab {
  const air = createAir(scenario.rig, faults, scenario.startPsi);
  const begin: Cab = {
    at: 0,
    air,
    trace: traceFrom(sampleOf(air, 0)),
    hands: [{ at: 0, controls: HANDS_OFF }],
    happened: [],
  };
  return stepMs === undefined ? begin : { ...begin, stepMs };
}

/** The cab at `until`, with the controls held from now to then. A push or pull at the parking valve lasts as long. */
export function runCab(cab: Cab, controls: Controls, until: Ms): Cab {
  if (until < cab.at) throw new RangeError(`the clock stands at ${cab.at} ms and cannot go back to ${until} ms`);
  const samples: Sample[] = [];
  const events: AirEvent[] = [];
  let { air } = cab;
  const go = (to: Ms): void => {
    air = run(air, controls, to, cab.stepMs);
    events.push(...air.events);
  };
  for (let next = lengthOf(cab.trace) * SAMPLE_MS; next <= until; next += SAMPLE_MS) {
    go(next);
    samples.push(sampleOf(air, next));
  }
  go(until);
  return {
    ...cab,
    at: until,
    air,
    trace: extended(cab.trace, samples),
    hands: isSame(cab.hands.at(-1)?.controls, controls) ? cab.hands : [...cab.hands, { at: cab.at, controls }],
    happened: events.length === 0 ? cab.happened : [...cab.happened, ...events],
  };
}

/** The cab as it was at `at`, when its air was `air`: what came after that has not happened. */
export function rewindCab(cab: Cab, at: Ms, air: AirState): Cab {
  return {
    ...cab,
    at,
    air,
    trace: cutAt(cab.trace, at),
    hands: cab.hands.filter((hand, index) => index === 0 || hand.at < at),
    happened: cab.happened.filter((event) => event.at <= air.at),
  };
}

function sampleOf(air: AirState, at: Ms): Sample {
  return { at, ...gauges(air), parkingOut: air.parkingOut };
}

function isSame(one: Controls | undefined, other: Controls): boolean {
  if (one === other) return true;
  if (one === undefined) return false;
  const keys = new Set([...Object.keys(one), ...Object.keys(other)]) as Set<keyof Controls>;
  return [...keys].every((key) => one[key] === other[key]);
}
