import type { Step } from '../../../src/check/plan.ts';
import type { TestId } from '../../../src/judging/measurement.ts';
import type { Cab } from '../../../src/rehearsal/cab.ts';
import { APPLIED_PSI, type Movement } from '../../../src/rehearsal/hands.ts';
import type { Ms } from '../../../src/units/time.ts';

/** A movement and how long it takes, in ms. */
interface Stage {
  readonly move: Movement;
  readonly lasts: Ms;
}

/** What has to be done, and to come, before something can be said. */
export interface Preparation {
  /** One for each thing to be said. */
  readonly key: string;
  readonly moves: readonly Stage[];
  /** True when it is there; `since` is how long ago the last movement was made. */
  readonly there: (cab: Cab, since: Ms) => boolean;
  /** It comes by itself, so that it takes a moment to speak. */
  readonly sudden?: boolean;
  /** What the hands do as the words begin; at once when it came by itself. */
  readonly finally?: Movement;
}

export interface Moment extends Preparation {
  /** The cue for what came. */
  readonly outcome?: (cab: Cab) => string;
}

/** Below this nobody waits for a buzzer any longer, psi; below the next not for the parking valve. */
const NO_BUZZER = 45;
const NO_VALVE = 5;

const FOOT_OFF: Movement = { fan: false };
const FAN: Stage = { move: { fan: true }, lasts: 0 };
const full = (cab: Cab): boolean => !cab.air.loaded;
const higher = ({ air: { needles } }: Cab): number => Math.max(needles.primary, needles.secondary);

type Come = Omit<Moment, 'key'>;

const FULL: Come = { moves: [], there: full, sudden: true, outcome: () => 'cut-out' };

const MOMENTS: Partial<Record<TestId, Come>> = {
  'governor-cut-out': FULL,
  'plain-reading': FULL,
  'governor-cut-in': {
    moves: [FAN],
    there: ({ air }) => air.loaded,
    sudden: true,
    finally: FOOT_OFF,
    outcome: () => 'cut-in',
  },
  'low-air-warning': {
    moves: [{ move: { set: { ignition: true } }, lasts: 300 }, FAN],
    there: (cab) => cab.air.buzzer || higher(cab) < NO_BUZZER,
    sudden: true,
    finally: FOOT_OFF,
    outcome: (cab) => (cab.air.buzzer ? 'buzzer' : 'no-warning'),
  },
  'spring-brake-activation': {
    moves: [FAN],
    there: (cab) => cab.air.parkingOut || higher(cab) < NO_VALVE,
    sudden: true,
    finally: FOOT_OFF,
    outcome: (cab) => (cab.air.parkingOut ? 'valve-popped' : 'valve-stayed-in'),
  },
  'tug-test': {
    moves: [],
    there: (_cab, since) => since >= 2_000,
    finally: { set: { drive: false } },
    outcome: (cab) => (cab.air.moving ? 'rig-moved' : 'rig-held'),
  },
  'hand-valve-test': {
    moves: [
      { move: { set: { handValvePsi: APPLIED_PSI } }, lasts: 2_000 },
      { move: { set: { parking: 'push' } }, lasts: 300 },
      { move: { set: { drive: true } }, lasts: 2_000 },
    ],
    there: () => true,
    finally: { set: { drive: false, parking: 'pull', handValvePsi: 0 } },
    outcome: (cab) => (cab.air.moving ? 'rig-moved' : 'hand-valve-held'),
  },
  'service-brake-test': {
    moves: [
      { move: { set: { parking: 'push' } }, lasts: 3_000 },
      { move: { set: { drive: true } }, lasts: 3_000 },
      { move: { set: { pedalPsi: 2 * APPLIED_PSI } }, lasts: 0 },
    ],
    there: ({ air }, since) => !air.moving || since > 10_000,
    finally: { set: { drive: false, parking: 'pull' } },
    outcome: () => 'straight-stop',
  },
};

const AT_ONCE: Come = { moves: [], there: () => true };

/** How the moment of a step comes about, on a rig that does what rigs do. */
export function momentOf(step: Step): Moment {
  return { key: step.id, ...(MOMENTS[step.test] ?? { ...AT_ONCE, outcome: () => step.outcomes?.[0] ?? '' }) };
}
