import type { Scenario } from '../../../src/airsystem/scenario.ts';
import { DEMO_RIGS } from '../../../src/airsystem/rig.ts';
import { spokenOf, type SpokenCheck } from '../../../src/audit/oddities/spoken-check.ts';
import { isFitted } from '../../../src/check/needs.ts';
import { beginRehearsal, endRehearsal, type Rehearsal } from '../../../src/rehearsal/rehearsal.ts';
import { ScriptedCab } from '../../../src/rehearsal/scripted-cab.ts';
import { performStep } from '../../../src/rehearsal/scripted-trainee.ts';
import { between, pick, type Random } from '../silent-pass/random.ts';
import { setupFor } from '../silent-pass/truth.ts';

/** The dials of the simulated rig are read off finely; what an operator calls is rounded afterwards, by the dial that is tried. */
const FINE = 0.1;
/** How much a healthy rig differs from day to day, psi: a governor and switches as from a bench, or as they are in use. Ours, no source. */
const DAYS = { steady: 0.15, usual: 0.8 } as const;

/** How much the strokes of a pedal that is fanned differ in length. Ours, no source. */
const STROKES = 0.15;

/** A rig with its own set pressures, and somebody who checks it: all days differ as honest days do. */
export interface Habit {
  readonly rig: Scenario['rig'];
  readonly scatter: number;
  /** How slowly this person reacts, ms, and how unevenly. */
  readonly reaction: number;
  readonly uneven: number;
  /** The station keeps the rig full: it begins every day alike. */
  readonly keptFull: boolean;
}

/** About normal: the sum of six even ones. */
export function normal(random: Random, deviation: number): number {
  let sum = -3;
  for (let nth = 0; nth < 6; nth += 1) sum += random();
  return (sum / Math.SQRT1_2) * deviation;
}

export function habit(random: Random): Habit {
  const rig = pick(random, Object.values(DEMO_RIGS));
  const governor = { cutOutPsi: pick(random, [120, 122, 125, 130]), cutInPsi: pick(random, [95, 100, 103, 105]) };
  const scatter = DAYS[pick(random, ['steady', 'usual'] as const)];
  return {
    rig: { ...rig, governor, lowAirPsi: pick(random, [60, 63, 65, 70]), popOutPsi: pick(random, [25, 30, 36, 40]) },
    scatter,
    reaction: between(random, 150, 900),
    uneven: between(random, 100, 500),
    keptFull: random() < 0.5,
  };
}

/** Somebody who speaks when they get to it. */
class HonestCab extends ScriptedCab {
  readonly #random: Random;
  readonly #habit: Habit;
  constructor(rehearsal: Rehearsal, random: Random, kept: Habit) {
    super(rehearsal);
    this.#random = random;
    this.#habit = kept;
  }
  protected override get tick(): number {
    return 200;
  }
  override react(more = 0): void {
    super.react(more + Math.max(0, this.#habit.reaction + normal(this.#random, this.#habit.uneven)));
  }
  override fanUntil(...[kind, floor, [on, off]]: Parameters<ScriptedCab['fanUntil']>): boolean {
    // No two strokes of a foot last equally long.
    const share = 1 + Math.max(-0.4, normal(this.#random, STROKES));
    return super.fanUntil(kind, floor, [on * share, off * share]);
  }
  override needles(called?: Parameters<ScriptedCab['needles']>[0]): number {
    this.wait(Math.max(0, this.#habit.reaction + normal(this.#random, this.#habit.uneven)));
    return super.needles(called);
  }
}

/** One honest check, with needles as finely as they stand. */
export function honestCheck(random: Random, kept: Habit, day: number): SpokenCheck {
  const { rig, scatter } = kept;
  const off = (): number => normal(random, scatter);
  const cutOutPsi = rig.governor.cutOutPsi + off();
  const full = kept.keptFull ? rig.governor.cutOutPsi - 6 : Math.min(cutOutPsi - 3, between(random, 70, 112));
  const scenario: Scenario = {
    format: 'two-needles-scenario',
    version: 1,
    id: 'honest',
    title: rig.name,
    seed: 1,
    rig: {
      ...rig,
      gauge: { ...rig.gauge, resolution: FINE },
      governor: { cutOutPsi, cutInPsi: rig.governor.cutInPsi + off() },
      lowAirPsi: rig.lowAirPsi + off(),
      popOutPsi: rig.popOutPsi + off(),
    },
    startPsi: { primary: full, secondary: full - (kept.keptFull ? 1 : between(random, 0, 4)) },
    faults: [],
    told: rig.about,
  };
  const cab = new HonestCab(beginRehearsal(setupFor(scenario, 'fire-practice', 'told')).rehearsal, random, kept);
  cab.wait(1_000);
  const { plan, rig: settings } = cab.rehearsal.check.start;
  for (const step of plan.steps.filter((each) => isFitted(each, settings))) performStep(cab, step);
  cab.wait(1_000);
  const { rehearsal } = cab;
  const { check } = rehearsal.check.phase === 'done' ? rehearsal : endRehearsal(rehearsal).rehearsal;
  const wall = new Date(Date.UTC(2026, 0, 1 + day, 7, 30)).toISOString();
  // The simulated cab goes by tenths of a second; a person does not, and is heard by a microphone.
  const callouts = check.callouts.map((each, nth) => ({
    ...each,
    source: 'voice' as const,
    at: each.at + (nth % 2) + between(random, 0, 99),
  }));
  const spoken = spokenOf({ ...check, callouts });
  const holds = spoken.holds.map((ms) => ms + between(random, -50, 50));
  return { ...spoken, holds, id: `day-${day}`, operator: 'A. Okafor', wall, clips: [] };
}

/** What somebody calls who reads these needles off a dial of that resolution, which shows a little too much or too little. */
export function readOff(checks: readonly SpokenCheck[], resolution: number, random: Random): SpokenCheck[] {
  const shows = { primary: between(random, -2, 2), secondary: between(random, -2, 2) };
  return checks.map((check) => ({
    ...check,
    needles: check.needles.map((needle) => {
      if (needle.test === 'build-up') return { ...needle, resolution };
      const seen = needle.value + shows[needle.circuit] + normal(random, 0.15 * resolution);
      return { ...needle, value: Math.round(seen / resolution) * resolution, resolution };
    }),
  }));
}
