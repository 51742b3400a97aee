import { listensFor } from '../../src/check/listens-for.ts';
import type { CalloutEvent, StartEvent } from '../../src/check/event.ts';
import { advance, startCheck } from '../../src/check/machine.ts';
import { placesOf } from '../../src/check/places.ts';
import { cachedFlite } from '../../src/cli/assets/cached-flite.ts';
import type { OperatorVoice } from '../../src/cli/operator/operator-recording.ts';
import { compile } from '../../src/grammar/compile.ts';
import type { SpokenItem } from '../../src/grammar/meaning.ts';
import { parse } from '../../src/grammar/parse.ts';
import type { Heard, Recogniser } from '../../src/hearing/port.ts';
import { createSecondOpinion } from '../../src/hearing/second-opinion.ts';
import { waysOf } from '../../src/items/item.ts';
import { BUILT_IN_PROFILES } from '../../src/judging/built-in-profiles.ts';
import { grammarOfPlan } from '../../src/running/grammar-of-plan.ts';
import { planOf } from '../support/tube/pre-trip.ts';
import { dieselIdle, joined, over, rms, silence } from '../unit/hearing/signals.ts';
import { grammar } from './hearing-sets.ts';
import { withInterval } from './interval.ts';
import type { Phrase } from './items-material.ts';

const PLAN = planOf('whole-pre-trip');
const PLACES = placesOf(PLAN);
const own = grammarOfPlan(grammar, PLAN);
const flite = cachedFlite();

/** The check as it stands when a place begins. */
function atPlace(id: string) {
  const start: StartEvent = {
    type: 'start',
    at: 0,
    wall: '2026-05-04T07:30:00Z',
    plan: { ...PLAN, steps: PLAN.steps.filter(({ kind }) => kind === 'items') },
    profile: BUILT_IN_PROFILES.find((each) => each.id === 'fire-practice')!,
    rig: { id: 'engine-31', name: 'Engine 31', unit: 'psi' },
    operator: 'A. Okafor',
    asking: 'ask',
  };
  const begun = startCheck(start).state;
  return { ...begun, index: start.plan.steps.findIndex((step) => step.id === id) };
}

const RULESETS = new Map(PLACES.map(({ id }) => [id, compile(own, listensFor(atPlace(id)), 'psi')]));

/** All rulesets of the walk: their words are what an ear needs. */
export const ITEM_RULESETS = [...RULESETS.values()];

interface Cell {
  said: number;
  exact: number;
  /** Not taken, and asked again or bad words taken with a question to the operator. */
  asked: number;
  nothing: number;
  /** Another item, or another state of it, taken without a question. */
  wrongTaken: number;
  /** Of those: bad was said, and good is what was taken. */
  badAsGood: number;
}

export interface ItemsBench {
  readonly title: string;
  readonly first: Recogniser;
  /** The other ear, asked as in a check. */
  readonly second?: Recogniser;
  readonly voices: readonly OperatorVoice[];
  readonly phrases: readonly Phrase[];
}

const LEVELS = [undefined, 10] as const;
const BEFORE = silence(400);
const AFTER = silence(700);

/** Prints the table of one ear, or of both, and the pairs that were confused. */
export async function benchItems({ title, first, second, voices, phrases }: ItemsBench): Promise<void> {
  const began = process.cpuUsage();
  console.log(`\n${title}: ${phrases.length} phrases a cell\n`);
  console.log(
    '| voice | noise | exact | asked | nothing | wrong but taken | bad taken as good |\n|---|---|---|---|---|---|---|',
  );
  const opinion =
    second &&
    createSecondOpinion(
      { same: first, other: second },
      () => 0,
      (line) => console.log(line),
    );
  for (const db of LEVELS) {
    for (const voice of voices) {
      const confused: string[] = [];
      const cell: Cell = { said: 0, exact: 0, asked: 0, nothing: 0, wrongTaken: 0, badAsGood: 0 };
      // By place, since a grammar costs more than a phrase.
      for (const [nth, phrase] of phrases.toSorted((a, b) => a.place.localeCompare(b.place)).entries()) {
        const ruleset = RULESETS.get(phrase.place);
        if (ruleset === undefined) continue;
        await first.setGrammar(ruleset);
        const { samples } = await flite.speak(phrase.text, voice);
        const whole = joined(BEFORE, samples, AFTER);
        const sound = db === undefined ? whole : over(whole, dieselIdle(whole.length, nth + 1), rms(samples), db);
        const heard = await first.recognise(sound, 0);
        countItem(cell, phrase, opinion === undefined ? heard : await opinion.on(heard, ruleset), confused);
      }
      console.log(`| ${[voice, db === undefined ? 'quiet' : `${db} dB`, ...cells(cell)].join(' | ')} |`);
      for (const pair of confused) console.log(`    ${pair}`);
    }
  }
  console.log(`${(process.cpuUsage(began).user / 1e6).toFixed(0)} s of processor time`);
}

function countItem(cell: Cell, { place, text, meant }: Phrase, heard: Heard, confused: string[]): void {
  cell.said += 1;
  const state = atPlace(place);
  const meaning = heard.text === '' ? undefined : parse(own, listensFor(state), heard.text, 'psi');
  const said = meaning?.items ?? [];
  const isExact = said.length === 1 && isSame(said[0], meant);
  if (isExact) cell.exact += 1;
  else if (heard.text !== '')
    confused.push(`“${text}” heard as “${heard.text}” (${heard.confidence.toFixed(2)}${agreedWords(heard)})`);
  if (meaning === undefined) {
    cell.nothing += 1;
    return;
  }
  const { state: after, answers } = advance(state, eventOf(heard, meaning));
  if (answers.some(({ type }) => type === 'items-again')) cell.asked += 1;
  const taken = Object.keys(after.items ?? {});
  if (isExact || taken.length === 0) return;
  const item = after.items?.[meant.item];
  // What is right of it is right: only what was never said counts against the ear.
  const added = said.some((each) => !isSame(each, meant) && after.items?.[each.item] !== undefined);
  if (!added) return;
  cell.wrongTaken += 1;
  if (isBadState(meant) && item !== undefined && item.bad.length === 0 && item.good === true) cell.badAsGood += 1;
}

function agreedWords({ second }: Heard): string {
  return second === undefined ? '' : `; the other ear: “${second.heard}”`;
}

function isBadState({ item, state, value }: SpokenItem): boolean {
  const found = PLACES.flatMap(({ items }) => items).find(({ id }) => id === item);
  if (found === undefined) return false;
  return value === undefined
    ? waysOf(found).some(({ id }) => id === state)
    : (found.measure?.limits ?? []).some(({ below }) => value < below);
}

function isSame(one: SpokenItem | undefined, other: SpokenItem): boolean {
  return one?.item === other.item && one.state === other.state && one.value === other.value;
}

function eventOf(heard: Heard, meaning: NonNullable<CalloutEvent['meaning']>): CalloutEvent {
  const { start, end, text, confidence, engine, agreed } = heard;
  return {
    ...{ type: 'callout', at: start, end, heard: text, confidence, source: 'voice', engine, meaning },
    ...(agreed === undefined ? {} : { agreed }),
  };
}

function cells({ said, exact, asked, nothing, wrongTaken, badAsGood }: Cell): string[] {
  return [exact, asked, nothing, wrongTaken, badAsGood].map((part) => withInterval(part, said));
}
