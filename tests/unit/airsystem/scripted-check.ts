import type { AirEvent, AirEventKind, AirState } from '../../../src/airsystem/air.ts';
import { createAir, run } from '../../../src/airsystem/air.ts';
import type { Controls } from '../../../src/airsystem/controls.ts';
import { HANDS_OFF } from '../../../src/airsystem/controls.ts';
import { dial } from '../../../src/airsystem/gauges.ts';
import type { Scenario } from '../../../src/airsystem/scenario.ts';
import { faultsFor } from '../../../src/airsystem/scenario.ts';

/** What the needles said at the right moments of one full cab check; undefined where it never came. */
interface Measured {
  readonly preStart: Needles;
  readonly cutOut: Needles;
  readonly cutIn: Needles | undefined;
  readonly staticHold: Hold;
  readonly appliedHold: Hold;
  readonly warning: Needles | undefined;
  readonly popped: Needles | undefined;
  readonly buildUpSeconds: number | undefined;
  readonly tugHeld: boolean;
  /** Undefined without a hand valve. */
  readonly handValveHeld: boolean | undefined;
}

interface Needles {
  readonly primary: number;
  readonly secondary: number;
}

interface Hold {
  readonly before: Needles;
  readonly after: Needles;
}

/** A stretch of the check with the controls held, so that it can be run again with another step. */
interface Stretch {
  readonly controls: Controls;
  readonly until: number;
}

interface ScriptedCheck {
  readonly measured: Measured;
  readonly stretches: readonly Stretch[];
  readonly events: readonly AirEvent[];
  readonly end: AirState;
}

const TICK_MS = 100;
/** Nobody waits longer for a needle than this. */
const PATIENCE_MS = 20 * 60_000;

/** One operator's hands and eyes at the simulated cab. */
function cab(start: AirState) {
  let air = start;
  let controls: Controls = { ...HANDS_OFF, ignition: true };
  const stretches: Stretch[] = [];
  const events: AirEvent[] = [];

  const wait = (ms: number): void => {
    const until = air.at + ms;
    air = run(air, controls, until);
    events.push(...air.events);
    stretches.push({ controls, until });
    controls = { ...controls, parking: 'leave' };
  };
  const set = (change: Partial<Controls>): void => {
    controls = { ...controls, ...change };
  };
  const read = (): Needles => {
    const { primary, secondary } = dial(air);
    return { primary: primary.value, secondary: secondary.value };
  };
  const saw = (kind: AirEventKind): boolean => air.events.some((event) => event.kind === kind);
  /** Waits for something; false when it does not come. */
  const until = (done: () => boolean, patience = PATIENCE_MS): boolean => {
    for (const give = air.at + patience; air.at < give;) {
      wait(TICK_MS);
      if (done()) return true;
    }
    return false;
  };
  /** Fans the pedal, 3 s on and 4 s off, until something happens or both needles are below `floor`. */
  const fanUntil = (kind: AirEventKind, floor: number): boolean => {
    for (;;) {
      for (const [psi, seconds] of [
        [150, 3],
        [0, 4],
      ] as const) {
        set({ pedalPsi: psi });
        if (until(() => saw(kind), seconds * 1000)) return true;
      }
      if (Math.max(read().primary, read().secondary) < floor) return false;
    }
  };
  return { wait, set, read, until, fanUntil, saw, now: () => air, stretches, events };
}

/** The full cab check on a simulated rig, from the pre-start fill to the hand valve test, by an operator who makes no mistake. */
export function scriptedCheck(scenario: Scenario, seed = scenario.seed): ScriptedCheck {
  const op = cab(createAir(scenario.rig, faultsFor(scenario, seed), scenario.startPsi));
  op.wait(2000);
  const preStart = op.read();

  op.set({ engine: true });
  op.until(() => op.saw('governor-cut-out'));
  op.wait(1000);
  const cutOut = op.read();

  const cameIn = op.fanUntil('governor-cut-in', 70);
  op.set({ pedalPsi: 0 });
  op.wait(500);
  const cutIn = cameIn ? op.read() : undefined;

  op.until(() => op.saw('governor-cut-out'));
  op.wait(2000);

  op.set({ engine: false, parking: 'push' });
  op.wait(20_000);
  const staticHold = hold(op);

  op.set({ pedalPsi: 30 });
  op.wait(15_000);
  const appliedHold = hold(op);
  op.set({ pedalPsi: 0 });
  op.wait(2000);

  const warned = op.fanUntil('buzzer-on', 48);
  const warning = warned ? op.read() : undefined;
  const out = op.fanUntil('valve-popped', 5);
  const popped = out ? op.read() : undefined;
  op.set({ pedalPsi: 0, ...(out ? {} : { parking: 'pull' as const }) });
  op.wait(3000);

  op.set({ engine: true, fastIdle: true });
  const lower = () => Math.min(op.read().primary, op.read().secondary);
  const from85 = op.until(() => lower() >= 85) ? op.now().at : undefined;
  const to100 = op.until(() => lower() >= 100) ? op.now().at : undefined;
  const buildUpSeconds = from85 === undefined || to100 === undefined ? undefined : (to100 - from85) / 1000;
  op.until(() => !op.now().loaded);
  op.set({ fastIdle: false });
  op.wait(2000);

  op.set({ drive: true });
  op.wait(3000);
  const tugHeld = !op.now().moving;

  let handValveHeld: boolean | undefined;
  if (scenario.rig.fitted.handValve) {
    op.set({ handValvePsi: 30, parking: 'push' });
    op.wait(5000);
    handValveHeld = !op.now().moving;
  }
  op.set({ drive: false, handValvePsi: 0, parking: 'pull' });
  op.wait(3000);

  return {
    measured: {
      preStart,
      cutOut,
      cutIn,
      staticHold,
      appliedHold,
      warning,
      popped,
      buildUpSeconds,
      tugHeld,
      handValveHeld,
    },
    stretches: op.stretches,
    events: op.events,
    end: op.now(),
  };
}

function hold(op: ReturnType<typeof cab>): Hold {
  const before = op.read();
  op.wait(60_000);
  return { before, after: op.read() };
}

/**
 * The measurements outside the fire service's practice (common practice, no source: fill 70-80 psi; cut-out at most 130, cut-in at
 * least 85; drop in 60 s at most 2 psi static, 3 psi applied; warning 55-75; activation about 20-45; 85 to 100 psi in 45 s at 1200 rpm;
 * the lower needle governs warning and activation). A rise of more than the reading error of two 1 psi readings cannot be judged and
 * counts as outside. The differential of at least 15 psi is ours.
 */
export function outside(measured: Measured): string[] {
  const { preStart, cutOut, cutIn, warning, popped, buildUpSeconds } = measured;
  const low = (needles: Needles) => Math.min(needles.primary, needles.secondary);
  const high = (needles: Needles) => Math.max(needles.primary, needles.secondary);
  const found: [string, boolean][] = [
    ['pre-start fill', low(preStart) < 70 || high(preStart) > 80],
    ['governor cut-out', high(cutOut) > 130],
    ['governor cut-in', cutIn === undefined || low(cutIn) < 85],
    ['governor differential', cutIn !== undefined && high(cutOut) - low(cutIn) < 15],
    ['static leakage', holdOutside(measured.staticHold, 2)],
    ['applied leakage', holdOutside(measured.appliedHold, 3)],
    ['low-air warning', warning === undefined || low(warning) < 55 || low(warning) > 75],
    ['spring brake activation', popped === undefined || low(popped) < 20 || low(popped) > 45],
    ['build-up', buildUpSeconds === undefined || buildUpSeconds > 45],
    ['tug test', !measured.tugHeld],
    ['hand valve test', measured.handValveHeld === false],
  ];
  return found.filter(([, out]) => out).map(([name]) => name);
}

function holdOutside({ before, after }: Hold, limit: number): boolean {
  return (['primary', 'secondary'] as const).some((circuit) => {
    const drop = before[circuit] - after[circuit];
    return drop > limit || drop < -1;
  });
}
