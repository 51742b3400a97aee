import type { Controls } from '../airsystem/controls.ts';
import { HANDS_OFF } from '../airsystem/controls.ts';
import type { CalloutEvent } from '../check/event.ts';
import type { Ms } from '../units/time.ts';

/** What a hand or foot does: controls that change and then stay, and the pedal fanned from now on, or no longer. */
export interface Movement {
  readonly set?: Partial<Controls>;
  /** The pedal pressed to at least so many psi: a foot that presses harder already stays where it is. */
  readonly press?: number;
  readonly fan?: boolean;
}

/** A movement and when it began. */
export interface Move extends Movement {
  readonly at: Ms;
}

/** Pedal fanned about 3 s on and 4 s off (common practice of the fire service, no source). */
export const FANNING: readonly [on: Ms, off: Ms] = [3_000, 4_000];
/** Pedal pressure of the applied hold: common practice, no source. */
export const APPLIED_PSI = 30;
/** Right down, and a firm stop, psi. */
export const PEDAL_DOWN_PSI = 150;
const BRAKING_PSI = 60;
/** How long a hand stays on the parking valve. Ours, no source. */
const PUSH_MS: Ms = 300;

const FOOT_OFF: Movement = { set: { pedalPsi: 0 }, fan: false };

/** Movements that are no callouts of a check: the rules of `grammars/cab.jsgf`. */
const SPOKEN_ONLY: Readonly<Record<string, Movement>> = {
  pumping: { fan: true },
  braking: { set: { pedalPsi: BRAKING_PSI } },
  'valve-in': { set: { parking: 'push' } },
  'valve-out': { set: { parking: 'pull' } },
  'hand-valve-on': { set: { handValvePsi: APPLIED_PSI } },
  'hand-valve-off': { set: { handValvePsi: 0 } },
  'to-drive': { set: { drive: true } },
  'to-neutral': { set: { drive: false } },
};

/** What is done while a cue of the check is said. Who calls a moment takes the foot off to read the needles. */
const WITH_A_CUE: Readonly<Record<string, Movement>> = {
  'ignition-on': { set: { ignition: true } },
  'engine-started': { set: { ignition: true, engine: true } },
  'engine-off': { set: { engine: false } },
  'brakes-released': { set: { parking: 'push' } },
  'brake-applied': { press: APPLIED_PSI },
  'pedal-released': FOOT_OFF,
  'fast-idle-set': { set: { fastIdle: true } },
  'fast-idle-off': { set: { fastIdle: false } },
  'in-drive': { set: { drive: true } },
  'cut-in': { fan: false },
  buzzer: { fan: false },
  'no-warning': { fan: false },
  'valve-popped': { fan: false },
  'valve-stayed-in': { fan: false },
};

/** The public grammar rule of the movements that are no cues. */
export const HANDS_RULE = 'hands';
/** A cue with which nothing is done but what it says: it moves the control whether or not cues do. */
export const ALWAYS_MOVES = 'pedal-released';

/** A callout as a rehearsal takes it: what goes to the check, if anything, and what the hands do at the end of the words. */
export interface TakenApart {
  readonly callout?: CalloutEvent;
  readonly movements: readonly Movement[];
}

/** Takes the movements out of a callout. With `cuesMove`, the cues of the check move the controls too. */
export function takeApart(callout: CalloutEvent, cuesMove: boolean): TakenApart {
  const { meaning } = callout;
  if (meaning === undefined) return { callout, movements: [] };
  const own = meaning.cues.filter((cue) => !Object.hasOwn(SPOKEN_ONLY, cue));
  const moves = (cue: string): boolean => cuesMove || cue === ALWAYS_MOVES;
  const movements = meaning.cues.flatMap((cue) => SPOKEN_ONLY[cue] ?? (moves(cue) ? (WITH_A_CUE[cue] ?? []) : []));
  const isOnlyMoving =
    own.length === 0 && meaning.cues.length > 0 && meaning.reading === undefined && meaning.command === undefined;
  return { ...(isOnlyMoving ? {} : { callout: { ...callout, meaning: { ...meaning, cues: own } } }), movements };
}

/** How the hands stand at a moment, and until when they stay so if nobody moves anything. */
export interface HandsNow {
  readonly controls: Controls;
  readonly fanning: boolean;
  readonly until: Ms;
}

/** The hands at `at` after these moves, in order of time. */
export function handsAt(moves: readonly Move[], at: Ms): HandsNow {
  let held: Controls = HANDS_OFF;
  let pushed: { readonly way: Controls['parking']; readonly from: Ms } | undefined;
  let fannedFrom: Ms | undefined;
  let until = Infinity;
  for (const move of moves) {
    if (move.at > at) {
      until = move.at;
      break;
    }
    const { parking, ...rest } = move.set ?? {};
    held = { ...held, ...rest };
    if (parking !== undefined) pushed = { way: parking, from: move.at };
    if (move.fan === true) {
      held = { ...held, pedalPsi: 0 };
      fannedFrom = move.at;
    } else if (move.fan === false || rest.pedalPsi !== undefined || move.press !== undefined) fannedFrom = undefined;
    if (move.press !== undefined) held = { ...held, pedalPsi: Math.max(held.pedalPsi, move.press) };
  }
  if (pushed !== undefined && at < pushed.from + PUSH_MS) {
    held = { ...held, parking: pushed.way };
    until = Math.min(until, pushed.from + PUSH_MS);
  }
  if (fannedFrom === undefined) return { controls: held, fanning: false, until };
  const [on, off] = FANNING;
  const into = (at - fannedFrom) % (on + off);
  const down = into < on;
  return {
    controls: { ...held, pedalPsi: down ? PEDAL_DOWN_PSI : 0 },
    fanning: true,
    until: Math.min(until, at - into + (down ? on : on + off)),
  };
}
