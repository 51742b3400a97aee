import type { Scenario } from '../../../src/airsystem/scenario.ts';
import { randomFrom } from '../../../src/airsystem/scenario.ts';
import { currentStep, isFitted } from '../../../src/check/needs.ts';
import type { AppliedLimit } from '../../../src/judging/result.ts';
import type { StepRecord } from '../../../src/check/state.ts';
import type { Omission } from '../../../src/rehearsal/omission.ts';
import { OMISSIONS } from '../../../src/rehearsal/omission.ts';
import { handsIn, sampleAt } from '../../../src/rehearsal/play.ts';
import type { Rehearsal } from '../../../src/rehearsal/rehearsal.ts';
import { beginRehearsal, endRehearsal } from '../../../src/rehearsal/rehearsal.ts';
import { performStep } from '../../../src/rehearsal/scripted-trainee.ts';
import type { Random } from './random.ts';
import { between, chance, pick } from './random.ts';
import type { Temper } from './restless-cab.ts';
import { CALM, RestlessCab } from './restless-cab.ts';
import { randomScenario } from './rigs.ts';
import type { Truth } from './truth.ts';
import { setupFor, truthOf } from './truth.ts';

/** Omissions in which something untrue is said, or something is done that is not said, with the steps that rest on it. */
const UNTRUE: Readonly<Partial<Record<Omission, readonly string[]>>> = {
  misread: ['governor-cut-out', 'governor-cut-in'],
  'early-cut-out': ['governor-cut-out', 'governor-cut-in'],
  // The engine is stopped after the hold without a word.
  'engine-left-on': ['static-leakage', 'applied-leakage'],
  'brakes-not-released': ['static-leakage', 'applied-leakage'],
  'guessed-hold': ['static-leakage'],
  'pedal-eased': ['applied-leakage'],
  // A leak through the applied brake shows less, the faster one pumps.
  'pump-too-fast': ['governor-cut-in', 'low-air-warning', 'spring-brake-activation'],
  'late-buzzer': ['low-air-warning'],
  'engine-in-hold': ['static-leakage'],
  'brake-in-hold': ['static-leakage'],
  'engine-on-at-buzzer': ['low-air-warning'],
  'engine-off-in-window': ['build-up'],
  'fast-idle-off-in-window': ['build-up'],
  'says-held': ['tug-test', 'hand-valve-test'],
};
const PROFILES = ['fire-practice', 'fire-practice', 'us-cdl-single', 'us-cdl-inspection', 'california-cdl'];
/** Words come a little before or after the hand, ms. */
const HAND: number = 1_500;
/** Needles count for a moment for so long after it, ms. */
const LATEST_NEEDLES = 10_000;
/** Less at the pedal is no brake that is applied, psi. */
const PEDAL_ON = 10;

/** Something that passed and must not have. */
interface Wrong {
  readonly step: string;
  readonly what: string;
  /** Nobody who only listens could know: it rests on a false word, or on something done without a word. */
  readonly unknowable: boolean;
}

export interface Trial {
  readonly seed: number;
  readonly scenario: Scenario;
  readonly profile: string;
  readonly omissions: readonly Omission[];
  readonly rehearsal: Rehearsal;
  /** Steps that are wrong with the rig. */
  readonly truth: Truth;
  /** What was done or said that no listener could know. */
  readonly unknowable: RestlessCab['unknowable'];
  /** Nothing was done beside the check, and nothing left out of it. */
  readonly orderly: boolean;
  readonly wrong: readonly Wrong[];
}

const truths = new Map<string, Truth>();

/** One check by a simulated operator: the rig, its faults, and what the operator does wrong all follow from the seed. */
export function trial(seed: number): Trial {
  const random = randomFrom(seed);
  const scenario = randomScenario(random);
  const profile = pick(random, PROFILES);
  const orderly = chance(random, 0.25);
  const omissions = orderly ? [] : randomOmissions(random);
  const { rehearsal, unknowable, restless } = perform(
    random,
    scenario,
    profile,
    orderly ? CALM : randomTemper(random),
    omissions,
  );
  const key = JSON.stringify([profile, scenario]);
  const truth = truths.get(key) ?? truthOf(scenario, profile);
  truths.set(key, truth);
  return {
    seed,
    scenario,
    profile,
    omissions,
    rehearsal,
    truth,
    unknowable,
    orderly: !restless && omissions.length === 0,
    wrong: rehearsal.check.records.flatMap((record) =>
      wrongIn(rehearsal, record, truth).map((wrong) => ({
        ...wrong,
        unknowable:
          // What was done or said after its last word excuses no step.
          unknowable.some(({ at }) => at <= lastWordOf(record)) ||
          omissions.some((omission) => UNTRUE[omission]?.includes(record.id) === true),
      })),
    ),
  };
}

function randomTemper(random: Random): Temper {
  const often = (share: number, most: number): number => (chance(random, share) ? between(random, 0, most) : 0);
  return {
    skips: often(0.4, 0.1),
    late: often(0.5, 0.2),
    swaps: often(0.4, 0.15),
    interjections: often(0.7, 0.8),
    unsaid: chance(random, 0.3) ? 0.5 : 0,
  };
}

function randomOmissions(random: Random): readonly Omission[] {
  const known = Object.keys(OMISSIONS) as Omission[];
  return Array.from({ length: pick(random, [0, 0, 1, 2]) }, () => pick(random, known));
}

function perform(
  random: Random,
  scenario: Scenario,
  profile: string,
  temper: Temper,
  omissions: readonly Omission[],
): { readonly rehearsal: Rehearsal; readonly unknowable: RestlessCab['unknowable']; readonly restless: boolean } {
  const cab = new RestlessCab(beginRehearsal(setupFor(scenario, profile, 'told')).rehearsal, random, temper);
  cab.wait(1_000);
  const { plan, rig } = cab.rehearsal.check.start;
  const steps = plan.steps.filter((step) => isFitted(step, rig));
  let exchanged = false;
  if (temper === CALM || chance(random, 0.6)) follow(cab, steps.length, omissions);
  else {
    // Goes on by the plan whatever the tool says, now and then with two steps exchanged.
    const order = [...steps];
    const at = Math.floor(random() * (order.length - 1));
    exchanged = chance(random, 0.4);
    if (exchanged) order.splice(at, 2, ...order.slice(at, at + 2).reverse());
    for (const step of order) performStep(cab, step, omissions);
  }
  cab.wait(1_000);
  const { rehearsal } = cab;
  return {
    rehearsal: rehearsal.check.phase === 'done' ? rehearsal : endRehearsal(rehearsal).rehearsal,
    unknowable: cab.unknowable,
    restless: cab.restless || exchanged,
  };
}

/** Does the step that the tool stands at, at most three times, then leaves it out. */
function follow(cab: RestlessCab, steps: number, omissions: readonly Omission[]): void {
  let tries = 0;
  let before: string | undefined;
  for (let left = 3 * steps; left > 0; left -= 1) {
    const step = currentStep(cab.rehearsal.check);
    if (step === undefined) return;
    tries = step.id === before ? tries + 1 : 1;
    before = step.id;
    if (tries > 3) cab.skip();
    else performStep(cab, step, omissions);
  }
}

function lastWordOf({ progress: { readings, outcome } }: StepRecord): number {
  return Math.max(readings.at(-1)?.end ?? 0, outcome?.at ?? 0);
}

/** What of a step that passed must not have passed. */
function wrongIn(rehearsal: Rehearsal, record: StepRecord, truth: Truth): readonly Omit<Wrong, 'unknowable'>[] {
  const { id, result, progress, index } = record;
  if (result.verdict !== 'pass') return [];
  const wrong: Omit<Wrong, 'unknowable'>[] = [];
  const fault = truth.get(id);
  const came = momentIn(rehearsal, record);
  if (fault !== undefined && came?.isWithin !== true)
    wrong.push({ step: id, what: `passed (“${result.reason}”), and the truth is: ${fault}` });
  if (came?.isBeyond === true)
    wrong.push({
      step: id,
      what: `passed (“${result.reason}”), and in this check it came at ${came.psi.toFixed(1)} psi`,
    });
  const { test } = rehearsal.check.start.plan.steps[index] ?? {};
  const [first, second] = progress.readings;
  if ((test === 'static-leakage' || test === 'applied-leakage') && first !== undefined && second !== undefined) {
    const broken = brokenIn(rehearsal, test === 'applied-leakage', first.start + HAND, second.start - HAND);
    if (broken !== undefined) wrong.push({ step: id, what: `passed (“${result.reason}”), and ${broken}` });
  }
  const moment = progress.outcome;
  if (
    result.limits.length > 0 &&
    moment !== undefined &&
    first !== undefined &&
    first.start - moment.at > LATEST_NEEDLES + HAND
  ) {
    const wait = Math.round((first.start - moment.at) / 1000);
    wrong.push({ step: id, what: `passed with needles called ${wait.toString()} s after “${moment.cue}”` });
  }
  return wrong;
}

/** What comes by itself as the air goes down, and the faults of the part it comes from. */
const COMES: Readonly<Record<string, { readonly event: string; readonly part: string }>> = {
  buzzer: { event: 'buzzer-on', part: 'low-air-switch' },
  'valve-popped': { event: 'valve-popped', part: 'parking-valve' },
};
/** The needles are called one stroke of the pedal after it came at most, and read to the nearest mark; a leak goes on. psi, ms. */
const A_STROKE = 8;
/** How the judge calls the order of warning and valve. */
const BELOW_WARNING = 'below the pressure of the low-air warning';

/** At which pressure a warning or a valve came in this very check, and how that stands to the limits of the step. */
interface Came {
  readonly psi: number;
  /** The truth is otherwise only because a leak had more or less time: the part that it comes from is in order. */
  readonly isWithin: boolean;
  /** Out of its limits by more than can go by until the needles are called. */
  readonly isBeyond: boolean;
}

/**
 * A leak empties one circuit by the time that goes by, so that the same warning or valve comes at other needles in a check that takes
 * longer: what was so in this check is the truth of it. Undefined where the gauges are not sound, or nothing came.
 */
function momentIn({ cab, faults }: Rehearsal, { result, progress }: StepRecord): Came | undefined {
  const { cue = '', at = 0 } = progress.outcome ?? {};
  const comes = COMES[cue];
  if (comes === undefined || faults.some(({ kind }) => kind.endsWith('gauge'))) return undefined;
  const came = cab.happened.findLast((event) => event.kind === comes.event && event.at <= at);
  const limits = result.limits.filter(({ unit }) => unit === 'psi');
  if (came === undefined || limits.length === 0 || limits.length < result.limits.length) return undefined;
  const { primary, secondary } = sampleAt(cab, came.at);
  const lowest = Math.min(primary, secondary);
  const psi = cue === 'buzzer' ? lowest : Math.max(primary, secondary);
  // The order of warning and valve is that of the lower needle.
  const heldAgainst = ({ condition }: AppliedLimit): number => (condition === BELOW_WARNING ? lowest : psi);
  const isLeakAlone =
    faults.some(({ kind }) => kind === 'leak') && !faults.some(({ kind }) => kind.endsWith(comes.part));
  return {
    psi,
    isWithin:
      isLeakAlone &&
      limits.every((limit) => lowest >= (limit.min ?? 0) && heldAgainst(limit) <= (limit.max ?? Infinity)),
    isBeyond: limits.some(
      (limit) => psi < (limit.min ?? 0) - 1 || heldAgainst(limit) > (limit.max ?? Infinity) + A_STROKE,
    ),
  };
}

/** What was not so in the cab during a hold. */
function brokenIn({ cab }: Rehearsal, applied: boolean, from: number, to: number): string | undefined {
  for (const { at, controls } of handsIn(cab, from, to)) {
    if (controls.engine && controls.ignition) return 'the engine ran during the hold';
    if (sampleAt(cab, Math.max(at, from)).parkingOut) return 'the parking brake was not released during the hold';
    if (applied !== controls.pedalPsi >= PEDAL_ON) return `the pedal was ${applied ? 'up' : 'pressed'} during the hold`;
  }
  return undefined;
}
