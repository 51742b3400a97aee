import { CIRCUITS, type Circuit } from '../units/circuit.ts';
import type { TestId } from '../judging/measurement.ts';
import { pressureIn } from '../units/pressure.ts';
import type { SpokenReading } from '../grammar/meaning.ts';
import { isAdverse } from './cab.ts';
import { cuesIn, type CalloutEvent } from './event.ts';
import { cuesOf } from './needs.ts';
import type { Step } from './plan.ts';
import { changedProgress, changedState, type CheckState } from './state.ts';

/** Needles may seem to move the wrong way by so much: two dials read to the nearest mark and a little parallax, in psi. */
const MISREAD_PSI = 5;
/** The same governor cuts out within so much of where it did before. Ours, no source. */
export const SAME_CUT_OUT_PSI = 10;
/** What fills the tanks; nobody fans the pedal meanwhile. */
const FILLS: ReadonlySet<TestId> = new Set(['plain-reading', 'governor-cut-out', 'build-up']);
/** A few applications take less; in psi. Ours, no source. */
const FALL_PSI = 25;
/** Below this the low-air warning is on (49 CFR 571.121 S5.1.5), and no rig is moved. */
const LEAST_TO_DRIVE_PSI = 60;
/** What is not called with the needles higher than this, in psi: warnings come near 60, valves pop by 45; the rest is room. Ours, no source. */
const MOMENT_BELOW: Readonly<Record<string, number>> = { buzzer: 90, 'valve-popped': 75 };

/**
 * The state with needles that the step does not take, where they cannot be passed over: the rig cannot be as it was called to be, or is not
 * to be moved. The step under way is marginal at best for them.
 */
export function withStrayNeedles(
  state: CheckState,
  step: Step,
  spoken: SpokenReading,
  event: CalloutEvent,
): CheckState {
  const why = whyStray(state, step, spoken);
  return why === undefined ? state : withStray(state, `“${event.heard}” was called, ${why}`);
}

function whyStray(state: CheckState, step: Step, spoken: SpokenReading): string | undefined {
  const called = CIRCUITS.flatMap((circuit) => {
    const pressure = spoken[circuit];
    return pressure === undefined ? [] : [{ circuit, psi: pressureIn(pressure, 'psi') }];
  });
  const { needles, cab } = state;
  const engine = cab.engine;
  const isOff = needles !== undefined && engine?.is === 'off' && engine.stale !== true && engine.at <= needles.end;
  const above = (circuit: Circuit, psi: number, more: number, of: SpokenReading | undefined = needles): boolean => {
    const before = of?.[circuit];
    return before !== undefined && psi > pressureIn(before, 'psi') + more;
  };
  if (isOff && called.some(({ circuit, psi }) => above(circuit, psi, MISREAD_PSI)))
    return 'higher than the needles before, with the engine off';
  const isLower = ({ circuit, psi }: (typeof called)[number]): boolean => {
    const before = needles?.[circuit];
    return before !== undefined && psi < pressureIn(before, 'psi') - FALL_PSI;
  };
  if (engine?.is === 'running' && FILLS.has(step.test) && called.some(isLower))
    return 'far lower than the needles before, with the engine running';
  const cutOut = cutOutOf(state);
  if (called.some(({ circuit, psi }) => above(circuit, psi, SAME_CUT_OUT_PSI, cutOut)))
    return 'above the pressure at which the governor cut out';
  if (step.kind === 'observe' && called.some(({ psi }) => psi < LEAST_TO_DRIVE_PSI))
    return 'too little air to move the rig with';
  return undefined;
}

/** The needles at which the governor cut out in this check. */
export function cutOutOf({ records, start }: Pick<CheckState, 'records' | 'start'>): SpokenReading | undefined {
  return records
    .findLast(
      ({ outcome, index, progress }) =>
        outcome === 'judged' &&
        start.plan.steps[index]?.test === 'governor-cut-out' &&
        !isAdverse(progress.outcome?.cue),
    )
    ?.progress.readings.at(-1);
}

/** The state with a moment that the step does not wait for, where the needles stand too high for it, or it comes too soon. */
export function withStrayMoment(state: CheckState, step: Step, event: CalloutEvent): CheckState {
  const own = cuesOf(step);
  let next = state;
  for (const cue of cuesIn(event)) {
    if (own.includes(cue)) continue;
    if (cue === 'cut-out' && step.kind === 'build') {
      next = withStray(next, `“${event.heard}” was called before the window was over`);
      continue;
    }
    if ((cue === 'cut-out' || cue === 'cut-in') && state.cab.engine === undefined) {
      next = withStray(next, `“${event.heard}” was called, and no engine that was started`);
      continue;
    }
    const below = MOMENT_BELOW[cue];
    const { needles } = state;
    if (below === undefined || needles?.primary === undefined || needles.secondary === undefined) continue;
    const lower = Math.min(pressureIn(needles.primary, 'psi'), pressureIn(needles.secondary, 'psi'));
    if (lower > below)
      next = withStray(next, `“${event.heard}” was called, with the needles at ${lower.toFixed(0)} psi`);
  }
  return next;
}

/** The state whose step is marginal at best, for what these words tell of. */
export function withStray(state: CheckState, words: string): CheckState {
  const { strays = [] } = state.progress;
  return changedState(state, { progress: changedProgress(state.progress, { strays: [...strays, words] }) });
}
