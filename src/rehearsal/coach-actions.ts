import type { Controls } from '../airsystem/controls.ts';
import type { Ms } from '../units/time.ts';
import type { Sample } from './trace.ts';
import { NOT_CALLED } from './catch-up.ts';
import { APPLIED_PSI, coachConditions } from './coach-conditions.ts';
import type { Finding } from './finding.ts';
import type { Play, PlayedStep } from './play.ts';
import { controlsAt, findingIn, handsIn, movedIn, sampleAt, words } from './play.ts';

interface Doing {
  /** True when it is done. */
  readonly done: (controls: Controls, sample: Sample) => boolean;
  readonly undone: string;
}

/** Words often come a little before the hand is done. */
const HAND_AFTER: Ms = 1_500;
const DOINGS: Readonly<Record<string, Doing>> = {
  'ignition-on': { done: ({ ignition }) => ignition, undone: 'the key was off' },
  'engine-started': { done: ({ engine, ignition }) => engine && ignition, undone: 'the engine was off' },
  'engine-off': { done: ({ engine, ignition }) => !engine || !ignition, undone: 'the engine was running' },
  'brakes-released': { done: (_, { parkingOut }) => !parkingOut, undone: 'the parking valve was out' },
  'brake-applied': { done: ({ pedalPsi }) => pedalPsi >= APPLIED_PSI, undone: 'the pedal was up' },
  'fast-idle-set': { done: ({ fastIdle }) => fastIdle, undone: 'fast idle was off' },
  'fast-idle-off': { done: ({ fastIdle }) => !fastIdle, undone: 'fast idle was left on' },
  'in-drive': { done: ({ drive }) => drive, undone: 'the selector was in neutral' },
};

/** Why what a cue says was not done at `at`; undefined when it was, or when the cab cannot tell. */
export function undoneAt(play: Play, cue: string, at: Ms): string | undefined {
  const doing = DOINGS[cue];
  if (doing === undefined) return undefined;
  const isDone = (when: Ms): boolean => doing.done(controlsAt(play.cab, when), sampleAt(play.cab, when));
  return isDone(at) || isDone(Math.min(at + HAND_AFTER, play.cab.at)) ? undefined : doing.undone;
}

/** What was said to be done, or had to be kept up, and was not. At most one finding for a step. */
export function coachActions(play: Play): Finding[] {
  return play.steps.flatMap((played) => {
    const found = [...saidNotDone(play, played), ...coachConditions(play, played), ...notTried(play, played)];
    return found.slice(0, 1);
  });
}

function saidNotDone(play: Play, played: PlayedStep): Finding[] {
  return played.calls
    .filter(({ record: { taken, heard } }) => taken && heard !== NOT_CALLED)
    .flatMap(({ record: { meaning, at, end } }) =>
      (meaning?.cues ?? []).flatMap((cue) => {
        const undone = undoneAt(play, cue, end);
        if (undone === undefined) return [];
        return [findingIn(play, 'not-done', played, at, `${words(cue)} was called, and ${undone}.`)];
      }),
    );
}

/** The brake tests need the brake that they test, and something that pulls at it. */
function notTried(play: Play, played: PlayedStep): Finding[] {
  const { outcome } = played.progress;
  if (outcome === undefined) return [];
  const { at } = outcome;
  const controls = controlsAt(play.cab, at);
  const { parkingOut } = sampleAt(play.cab, at);
  const rolled = movedIn(play, played, at);
  const what = untried(played.step.test, controls, parkingOut);
  const braked = (from: Ms): boolean =>
    handsIn(play.cab, from, at).some((hand) => hand.controls.pedalPsi >= APPLIED_PSI);
  if (what !== undefined) return [findingIn(play, 'not-done', played, at, what)];
  if (played.step.test !== 'service-brake-test') return [];
  if (rolled === undefined)
    return [findingIn(play, 'not-done', played, at, 'The rig was not rolled before it was braked.')];
  return braked(rolled)
    ? []
    : [findingIn(play, 'not-done', played, at, 'The rig was rolled, and the pedal was not pressed.')];
}

function untried(test: string, controls: Controls, parkingOut: boolean): string | undefined {
  if (test === 'tug-test') {
    if (!parkingOut) return 'The tug test was called with the parking brake released; set it first.';
    if (controls.pedalPsi >= APPLIED_PSI)
      return 'The tug test was called with the foot brake applied; take the foot off it.';
  }
  if (test === 'hand-valve-test') {
    if (parkingOut) return 'The hand valve test was called with the parking brake set; release it first.';
    if (controls.handValvePsi < APPLIED_PSI) return 'The hand valve test was called with the hand valve off.';
    if (!controls.drive) return 'The hand valve test was called in neutral; nothing pulled at the brakes.';
  }
  return undefined;
}
