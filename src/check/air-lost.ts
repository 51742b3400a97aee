import { leastLeft } from '../airsystem/reach.ts';
import type { CabPart } from '../judging/condition.ts';
import { CIRCUITS } from '../units/circuit.ts';
import { pressureIn } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import type { StartEvent } from './event.ts';
import type { Step } from './plan.ts';
import { changedState, type CalledReading, type CheckState } from './state.ts';

/** What a hold may leak where the profile says nothing of it: as much as most documents tolerate of an applied brake, psi a minute. */
const TOLERATED = 3;

/**
 * True for needles that would begin a hold, its engine off and the pedal still, and stand lower than the last ones by more than the air
 * that is known to have been used, and a leak inside the limit. What is lost before a hold is a leak as well.
 */
export function lostAir(state: CheckState, step: Step, reading: CalledReading): boolean {
  const { sound, start, progress } = state;
  if (step.kind !== 'hold' || progress.readings.length > 0) return false;
  if (sound?.primary === undefined || sound.secondary === undefined || reading.start <= sound.end) return false;
  const { primary, secondary } = sound;
  const since = sound.end;
  const least = leastLeft(
    start.rig,
    { primary: pressureIn(primary, 'psi'), secondary: pressureIn(secondary, 'psi') },
    {
      fills: fillsSince(state, step, since),
      cools: !isKnownBefore(state, 'engine', 'off', since),
      seconds: (reading.start - since) / 1000,
      leak: leakInside(step, start),
    },
  );
  return CIRCUITS.some((circuit) => {
    const pressure = reading[circuit];
    return pressure !== undefined && pressureIn(pressure, 'psi') < least[circuit];
  });
}

/** Chambers that were filled since: the spring brakes by releasing them, the service brakes by the pedal. */
function fillsSince(state: CheckState, step: Step, since: Ms): number {
  const releases = isKnownBefore(state, 'parking brake', 'released', since) ? 0 : 1;
  const applies = step.test === 'applied-leakage' && !isKnownBefore(state, 'brake pedal', 'applied', since) ? 1 : 0;
  return releases + applies;
}

function isKnownBefore({ cab }: CheckState, part: CabPart, is: string, moment: Ms): boolean {
  const fact = cab[part];
  return fact !== undefined && fact.stale !== true && fact.is === is && fact.at < moment;
}

/** The largest limit of the profile for this leak. */
function leakInside({ test }: Step, { profile }: StartEvent): number {
  const limits = profile.tests.find((each) => each.test === test)?.limits ?? [];
  const rates = limits.flatMap(({ max, unit }) =>
    max === undefined
      ? []
      : unit === 'psi/min'
        ? [max]
        : unit === 'kPa/min'
          ? [pressureIn({ value: max, unit: 'kPa' }, 'psi')]
          : [],
  );
  return rates.length === 0 ? TOLERATED : Math.max(...rates);
}

/**
 * The state after needles were called. Those that lost air before a hold, or that were doubted, are none to begin the next from: the loss
 * is not explained by being called once more.
 */
export function withNeedles(state: CheckState, step: Step, reading: CalledReading): CheckState {
  const isDoubted = reading.doubted === true || state.progress.readings[0]?.doubted === true;
  const isWhole = reading.primary !== undefined && reading.secondary !== undefined;
  const isSound = isWhole && !isDoubted && !lostAir(state, step, reading);
  return changedState(state, isSound ? { needles: reading, sound: reading } : { needles: reading });
}
