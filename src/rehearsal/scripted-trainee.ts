import type { Pressure } from '../units/pressure.ts';
import type { Controls } from '../airsystem/controls.ts';
import { pressureIn } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import type { Step } from '../check/plan.ts';
import type { TestId } from '../judging/measurement.ts';
import { isFitted } from '../check/needs.ts';
import { APPLIED_PSI, FANNING } from './hands.ts';
import type { Omission } from './omission.ts';
import type { Rehearsal, RehearsalSetup } from './rehearsal.ts';
import { beginRehearsal, endRehearsal } from './rehearsal.ts';
import type { Needles } from './scripted-cab.ts';
import { ScriptedCab } from './scripted-cab.ts';

const TOO_FAST: readonly [Ms, Ms] = [1_000, 1_000];
/** Below this nobody waits for a buzzer any longer, psi; below the next not for the parking valve. */
const NO_BUZZER = 45;
const NO_VALVE = 5;

/**
 * Does a whole check on the simulated rig, in simulated time, and calls it by the steps of the plan: without a mistake, but for those it is
 * told to make. Returns the rehearsal as it stands at the end.
 */
export function performScripted(setup: RehearsalSetup, omissions: readonly Omission[] = []): Rehearsal {
  const cab = new ScriptedCab(beginRehearsal(setup).rehearsal);
  cab.wait(1_000);
  const { plan, rig } = cab.rehearsal.check.start;
  for (const step of plan.steps.filter((each) => isFitted(each, rig))) performStep(cab, step, omissions);
  cab.wait(1_000);
  return cab.rehearsal.check.phase === 'done' ? cab.rehearsal : endRehearsal(cab.rehearsal).rehearsal;
}

/** Does one step of the plan in the cab as it stands, and calls it. */
export function performStep(cab: ScriptedCab, step: Step, omissions: readonly Omission[] = []): void {
  const makes = (omission: Omission): boolean => omissions.includes(omission);
  PERFORM[step.test]({ cab, makes, rig: cab.rehearsal.setup.scenario.rig }, step);
}

interface Trainee {
  readonly cab: ScriptedCab;
  readonly makes: (omission: Omission) => boolean;
  readonly rig: RehearsalSetup['scenario']['rig'];
}

const PERFORM: Readonly<Record<TestId, (trainee: Trainee, step: Step) => void>> = {
  none: approach,
  'pre-start-fill': preStart,
  'plain-reading': fill,
  'governor-cut-out': cutOut,
  'governor-cut-in': cutIn,
  'static-leakage': staticHold,
  'applied-leakage': appliedHold,
  'low-air-warning': lowAir,
  'spring-brake-activation': springBrakes,
  'build-up': buildUp,
  'tug-test': tug,
  'hand-valve-test': handValve,
  'service-brake-test': serviceBrake,
};

function approach({ cab, makes }: Trainee, step: Step): void {
  for (const cue of step.cues) {
    if (cue === 'ignition-on') cab.set({ ignition: true });
    if (cue === 'chocks-set' && makes('omit-chocks')) continue;
    if (cue === 'mirrors-set' && makes('omit-mirrors')) continue;
    cab.cue(cue);
  }
}

function preStart({ cab }: Trainee, step: Step): void {
  cab.needles();
  if (!step.cues.includes('engine-started')) return;
  cab.set({ engine: true });
  cab.cue('engine-started');
}

/** Waits for the governor; true when it has cut out. */
function full(cab: ScriptedCab): boolean {
  return cab.until(() => !cab.rehearsal.cab.air.loaded);
}

function cutOut({ cab, makes, rig }: Trainee): void {
  if (makes('early-cut-out')) cab.until(() => lower(cab) >= rig.governor.cutOutPsi - 5);
  else if (!full(cab)) {
    cab.skip();
    return;
  } else cab.react();
  cab.cue('cut-out');
  if (makes('misread')) {
    cab.wait(300);
    const { primary, secondary } = cab.read();
    cab.needles({ primary: { ...primary, value: primary.value + 5 }, secondary });
  } else cab.needles();
  full(cab);
}

function cutIn({ cab, makes }: Trainee): void {
  if (!cab.fanUntil('governor-cut-in', 40, makes('pump-too-fast') ? TOO_FAST : FANNING)) {
    cab.skip();
    return;
  }
  cab.react();
  cab.cue('cut-in');
  cab.needles();
}

function fill({ cab, makes }: Trainee, step: Step): void {
  if (!full(cab)) {
    cab.skip();
    return;
  }
  cab.react();
  if (step.outcomes?.includes('cut-out') === true) cab.cue('cut-out');
  cab.needles();
  const needed = step.cuesAfter?.includes('fast-idle-off') === true && fastIdle(cab);
  if (!needed || makes('fast-idle-left-on')) return;
  cab.set({ fastIdle: false });
  cab.cue('fast-idle-off');
}

function staticHold({ cab, makes }: Trainee, step: Step): void {
  if (!makes('engine-left-on')) cab.set({ engine: false });
  cab.cue('engine-off');
  if (!makes('brakes-not-released')) cab.set({ parking: 'push' });
  cab.cue('brakes-released');
  if (makes('low-start')) cab.fanUntil('valve-popped', 75, FANNING);
  cab.settle();
  cab.cue('settled');
  const before = cab.read();
  const end = cab.needles();
  if (makes('engine-in-hold')) forAWhile(cab, { ignition: true, engine: true }, { engine: false });
  if (makes('brake-in-hold')) forAWhile(cab, { pedalPsi: APPLIED_PSI }, { pedalPsi: 0 });
  if (makes('engine-called-in-hold')) {
    cab.set({ engine: true });
    cab.cue('engine-started');
  }
  hold(cab, end, makes('short-hold') ? 45 : (step.holdSeconds ?? 60));
  cab.needles(makes('guessed-hold') ? before : undefined);
  cab.set({ engine: false, parking: 'push' });
}

function appliedHold({ cab, makes }: Trainee, step: Step): void {
  cab.set({ pedalPsi: APPLIED_PSI });
  cab.cue('brake-applied');
  cab.settle();
  const early = makes('needles-before-settled');
  if (!early) cab.cue('settled');
  const end = cab.needles();
  if (early) cab.cue('settled');
  if (makes('pedal-eased')) {
    cab.wait(20_000);
    cab.set({ pedalPsi: APPLIED_PSI / 3 });
  }
  hold(cab, end, step.holdSeconds ?? 60);
  cab.needles();
  cab.set({ pedalPsi: 0 });
}

/** Does something in the middle of a measurement, and undoes it. */
function forAWhile(cab: ScriptedCab, change: Partial<Controls>, back: Partial<Controls>): void {
  cab.wait(8_000);
  cab.set(change);
  cab.wait(5_000);
  cab.set(back);
}

/** Waits out a hold that began at `from`. */
function hold(cab: ScriptedCab, from: Ms, holdSeconds: number): void {
  cab.until(() => cab.now >= from + holdSeconds * 1000);
}

function lowAir({ cab, makes }: Trainee, step: Step): void {
  const sounds = cab.rehearsal.cab.air.buzzer;
  if (!sounds && !cab.fanUntil('buzzer-on', NO_BUZZER, makes('pump-too-fast') ? TOO_FAST : FANNING)) {
    neverCame(cab, step, 'no-warning');
    return;
  }
  if (makes('engine-on-at-buzzer')) cab.set({ engine: true });
  cab.react(makes('late-buzzer') ? 3_000 : 0);
  cab.cue('buzzer');
  if (makes('late-needles')) cab.wait(30_000);
  cab.needles();
  if (makes('engine-on-at-buzzer')) cab.set({ engine: false });
}

/** Calls what did not come, with the needles; plans of a department may have no cue for it. */
function neverCame(cab: ScriptedCab, step: Step, cue: string): void {
  if (step.outcomes?.includes(cue) !== true) {
    cab.skip();
    return;
  }
  cab.cue(cue);
  cab.needles();
}

function springBrakes({ cab, makes }: Trainee, step: Step): void {
  const { parkingOut } = cab.rehearsal.cab.air;
  if (!parkingOut && !cab.fanUntil('valve-popped', NO_VALVE, makes('pump-too-fast') ? TOO_FAST : FANNING)) {
    neverCame(cab, step, 'valve-stayed-in');
    cab.set({ parking: 'pull' });
    return;
  }
  cab.react();
  cab.cue('valve-popped');
  cab.needles();
}

function buildUp({ cab, makes }: Trainee, { from, to, cues }: Step): void {
  cab.set({ engine: true });
  cab.cue('engine-started');
  if (cues.includes('fast-idle-set') && fastIdle(cab)) {
    cab.set({ fastIdle: true });
    cab.cue('fast-idle-set');
  }
  for (const mark of [from, to]) {
    if (mark === undefined) continue;
    if (!cab.until(() => reaches(cab, mark))) {
      cab.skip();
      return;
    }
    cab.both(mark);
    if (mark !== from) continue;
    if (makes('engine-off-in-window')) forAWhile(cab, { engine: false }, { engine: true });
    if (makes('fast-idle-off-in-window')) cab.set({ fastIdle: false });
  }
}

function tug({ cab, makes }: Trainee, { cues }: Step): void {
  for (const cue of cues) {
    if (cue === 'belts-on' && makes('omit-belts')) continue;
    if (cue === 'in-drive') cab.set({ drive: true });
    cab.cue(cue);
  }
  cab.wait(2_000);
  const moved = cab.rehearsal.cab.air.moving && !makes('says-held');
  cab.cue(moved ? 'rig-moved' : 'rig-held');
  cab.set({ drive: false, fastIdle: false });
}

function handValve({ cab, makes }: Trainee, step: Step): void {
  cab.set({ handValvePsi: APPLIED_PSI });
  cab.wait(2_000);
  cab.set({ parking: 'push' });
  for (const cue of step.cues) cab.cue(cue);
  cab.set({ drive: true });
  cab.wait(2_000);
  const moved = cab.rehearsal.cab.air.moving && !makes('says-held');
  cab.cue(moved ? 'rig-moved' : 'hand-valve-held');
  cab.set({ drive: false });
  cab.set({ parking: 'pull' });
  cab.wait(3_000);
  cab.set({ handValvePsi: 0 });
}

function serviceBrake({ cab, makes }: Trainee): void {
  const failed = cab.rehearsal.check.records.some(({ result }) => result.verdict === 'fail');
  if (failed && !makes('drives-on-a-fail')) {
    cab.skip();
    return;
  }
  cab.set({ parking: 'push' });
  cab.wait(3_000);
  cab.set({ drive: true });
  cab.wait(3_000);
  cab.set({ pedalPsi: 2 * APPLIED_PSI });
  cab.until(() => !cab.rehearsal.cab.air.moving, 10_000);
  cab.cue('straight-stop');
  cab.set({ drive: false, parking: 'pull' });
  cab.cue('check-complete');
}

function fastIdle(cab: ScriptedCab): boolean {
  return cab.rehearsal.check.start.rig.fitted?.fastIdle !== false;
}

function lower(cab: ScriptedCab): number {
  const { primary, secondary }: Needles = cab.read();
  return Math.min(pressureIn(primary, 'psi'), pressureIn(secondary, 'psi'));
}

function reaches(cab: ScriptedCab, { value, unit }: Pressure): boolean {
  const { primary, secondary } = cab.read();
  return Math.min(pressureIn(primary, unit), pressureIn(secondary, unit)) >= value;
}
