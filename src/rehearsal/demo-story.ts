import { randomFrom } from '../airsystem/scenario.ts';
import { nextDeadline } from '../check/deadline.ts';
import type { CheckEvent, StartEvent } from '../check/event.ts';
import { listensFor } from '../check/listens-for.ts';
import { advance, startCheck } from '../check/machine.ts';
import type { Plan } from '../check/plan.ts';
import type { Meaning } from '../grammar/meaning.ts';
import type { LimitProfile } from '../judging/profile.ts';
import type { PressureUnit } from '../units/pressure.ts';
import { ENGINE_31, fullCabCheckScript, LADDER_36, TENDER_34 } from './synthetic-operator-script.ts';
import type { Needles, Scenario } from './synthetic-operator-script.ts';
import { layOut } from './synthetic-operator.ts';
import { dateAt, epochMs } from '../units/calendar.ts';

/** One check of the story, as the machine lived it, and what the officer did with it afterwards. */
export interface StoryCheck {
  readonly id: string;
  readonly events: readonly CheckEvent[];
  /** ISO 8601 wall time of its end. */
  readonly ended: string;
  readonly officer?: {
    readonly name: string;
    readonly wall: string;
    /** A note of a repair, with the failed step; else the officer countersigned. */
    readonly repair?: { readonly step: string; readonly text: string };
  };
}

/** What the story is told with. `lastDay`: ISO 8601 day of its last check. */
export interface StoryParts {
  readonly plan: Plan;
  readonly profile: LimitProfile;
  readonly lastDay: string;
  readonly parse: (rules: readonly string[], text: string, unit: PressureUnit) => Meaning | undefined;
}

/** Every id of the story begins with it. */
export const STORY_ID = 'story-';
const STORY_OFFICER = 'Capt. R. Whitehorse';
const WEEKS = 12;
const SEED = 3634;
const DAY = 86_400_000;
/** The week in which the buzzer of Tender 34 comes too late. */
const BUZZER_WEEK = 5;
const OPERATORS = ['A. Okafor', 'M. Lindqvist'] as const;

/**
 * Twelve weeks of Tamarack Flats, a full cab check of each rig a week: Engine 31 is well; the low-air warning of Tender 34
 * fails once, is repaired and passes; the leak in the secondary circuit of Ladder 36 grows until its last check fails.
 * Every check goes through the grammar and the machine. The same parts always tell the same story.
 */
export function* demoStory(parts: StoryParts): Generator<StoryCheck> {
  const random = randomFrom(SEED);
  const first = epochMs(`${parts.lastDay}T07:00:00.000Z`) - WEEKS * 7 * DAY;
  const told = (week: number, hours: number, scenario: Scenario, tag = ''): StoryCheck => {
    const wall = dateAt(first + week * 7 * DAY + hours * 3_600_000 + Math.floor(random() * 1_200_000)).toISOString();
    const operator = OPERATORS[Math.floor(random() * OPERATORS.length)] ?? OPERATORS[0];
    const events = lived(parts, scenario, wall, operator, random);
    const ended = dateAt(epochMs(wall) + (events.at(-1)?.at ?? 0) + 5_000).toISOString();
    const id = `${STORY_ID}${scenario.id}-${String(week).padStart(2, '0')}${tag}`;
    const officer = week < WEEKS - 3 && tag === '' ? { name: STORY_OFFICER, wall: later(wall, 8) } : undefined;
    return { id, events, ended, ...(officer === undefined ? {} : { officer }) };
  };
  for (let week = 0; week <= WEEKS; week += 1) {
    yield told(week, 0, ofTheDay(ENGINE_31, random, week % 4 === 1 ? { slip: true } : {}));
    if (week === BUZZER_WEEK) {
      yield repaired(told(week, 1, { ...ofTheDay(TENDER_34, random), warning: [50, 49] }));
      yield told(week, 6, ofTheDay(TENDER_34, random), '-again');
    } else yield told(week, 1, ofTheDay(TENDER_34, random));
    yield told(week, 2, leaking(ofTheDay(LADDER_36, random), week / WEEKS));
  }
}

function repaired(check: StoryCheck): StoryCheck {
  const text = 'Low-air pressure switch replaced by the district mechanic; buzzer heard at 64 psi on the bench gauge.';
  const wall = later(check.ended, 3);
  return { ...check, officer: { name: STORY_OFFICER, wall, repair: { step: 'low-air-warning', text } } };
}

/** The secondary leak with the brake applied: from 0.7 psi a minute to what fails. */
function leaking(scenario: Scenario, progress: number): Scenario {
  const [before] = scenario.appliedHold;
  const drop = Math.round(0.7 + 3 * progress);
  return { ...scenario, appliedHold: [before, [before[0] - 1, before[1] - drop]] };
}

/** A scenario as its needles stand on one day: within a psi or so of the usual. */
function ofTheDay(scenario: Scenario, random: () => number, { slip = false } = {}): Scenario {
  const off = (): number => Math.floor(random() * 3) - 1;
  const shift = ([primary, secondary]: Needles, by: number): Needles => [primary + by, secondary + by];
  const moved = (needles: Needles): Needles => shift(needles, off());
  const hold = ([before, after]: Scenario['staticHold']): Scenario['staticHold'] => {
    const by = off();
    return [shift(before, by), shift(after, by)];
  };
  const cutIn = moved(scenario.cutIn);
  const { id, rig, forms, handValve } = scenario;
  return {
    id,
    rig,
    forms,
    ...(handValve === undefined ? {} : { handValve }),
    preStartFill: moved(scenario.preStartFill),
    cutOut: moved(scenario.cutOut),
    cutIn,
    refill: moved(scenario.refill),
    staticHold: hold(scenario.staticHold),
    appliedHold: hold(scenario.appliedHold),
    warning: moved(scenario.warning),
    activation: moved(scenario.activation),
    buildUpSeconds: scenario.buildUpSeconds + off(),
    finalFill: moved(scenario.finalFill),
    // What is asked is answered where it is asked.
    confirms: [],
    ...(slip ? { slip: { said: [cutIn[0], cutIn[1] - 10] } } : {}),
  };
}

/** The events of one check: the script laid out in time, heard by the grammar, taken by the machine. */
function lived(
  { plan, profile, parse }: StoryParts,
  scenario: Scenario,
  wall: string,
  operator: string,
  random: () => number,
): CheckEvent[] {
  const start: StartEvent = { type: 'start', at: 0, wall, plan, profile, rig: scenario.rig, operator, asking: 'ask' };
  const events: CheckEvent[] = [start];
  let { state } = startCheck(start);
  const take = (event: CheckEvent): void => {
    events.push(event);
    ({ state } = advance(state, event));
  };
  const say = (heard: string, at: number, end: number): void => {
    for (let due = nextDeadline(state); due !== undefined && due <= at; due = nextDeadline(state))
      take({ type: 'time', at: due });
    const meaning = parse(listensFor(state), heard, scenario.rig.unit);
    const confidence = Math.round((0.82 + 0.17 * random()) * 100) / 100;
    const heardSo = { heard, confidence, source: 'voice', engine: 'embedded' } as const;
    take({ type: 'callout', at, end, ...heardSo, ...(meaning === undefined ? {} : { meaning }) });
  };
  const script = fullCabCheckScript(scenario, { holdSeconds: 60, afterHold: 1_000 });
  const pace = { lead: 1_000, pause: 3_000, speechLength: (text: string) => text.length * 70 };
  for (const { text, at, end } of layOut(script, pace)) {
    say(text, at, end);
    // A reading that would fail its step is asked about; the operator stands by it.
    if (state.phase === 'asking') say('yes', end + 1_200, end + 1_600);
  }
  return events;
}

function later(wall: string, hours: number): string {
  return dateAt(epochMs(wall) + hours * 3_600_000).toISOString();
}
