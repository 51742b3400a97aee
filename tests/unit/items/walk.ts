import type { Answer } from '../../../src/check/answer.ts';
import { builtInPlans } from '../../../src/check/built-in-plans.ts';
import type { CalloutSource, CheckEvent, StartEvent } from '../../../src/check/event.ts';
import { listensFor } from '../../../src/check/listens-for.ts';
import { advance, startCheck } from '../../../src/check/machine.ts';
import { placesOf } from '../../../src/check/places.ts';
import { parse } from '../../../src/grammar/parse.ts';
import { cueIds } from '../../../src/grammar/select.ts';
import { BUILT_IN_PROFILES } from '../../../src/judging/built-in-profiles.ts';
import { grammarOfPlan } from '../../../src/running/grammar-of-plan.ts';
import { loadGrammar } from '../../support/grammar.ts';

export const grammar = loadGrammar();
export const PLANS = builtInPlans(new Set(cueIds(grammar)));
export const planOf = (id: string) => PLANS.find((plan) => plan.id === id)!;
export const GOOD = Object.fromEntries(
  PLANS.flatMap((plan) => placesOf(plan).flatMap(({ items }) => items)).map(({ id, names }) => [
    id,
    `${names[0]} good`,
  ]),
);

/** A check that is talked through: every line is one callout, heard by the rules of its moment unless it is forced. */
export class Walk {
  readonly events: CheckEvent[];
  state;
  answers: readonly Answer[];
  #at = 1000;
  constructor(plan: string, more: Partial<StartEvent> = {}) {
    const start: StartEvent = {
      type: 'start',
      at: 0,
      wall: '2026-05-06T07:00:00.000Z',
      plan: planOf(plan),
      profile: BUILT_IN_PROFILES[0]!,
      rig: { id: 'engine-31', name: 'Engine 31', unit: 'psi' },
      operator: 'A. Okafor',
      asking: 'ask',
      ...more,
    };
    this.events = [start];
    ({ state: this.state, answers: this.answers } = startCheck(start));
  }

  say(heard: string, { confidence = 1, source = 'voice' }: { confidence?: number; source?: CalloutSource } = {}): this {
    const own = grammarOfPlan(grammar, this.state.start.plan);
    const rules = listensFor(this.state);
    const meaning = parse(own, rules, heard, 'psi') ?? parse(own, ['anything'], heard, 'psi');
    const at = (this.#at += 4000);
    const event: CheckEvent = {
      ...{ type: 'callout', at, end: at + 1500, heard, confidence, source, engine: 'vosk' },
      ...(meaning === undefined ? {} : { meaning }),
    };
    this.events.push(event);
    ({ state: this.state, answers: this.answers } = advance(this.state, event));
    return this;
  }

  /** The whole place good, but for these; of an item with an empty line nothing is said. */
  place(id: string, but: Readonly<Record<string, string>> = {}): this {
    for (const item of placesOf(this.state.start.plan).find((place) => place.id === id)!.items) {
      const line = but[item.id] ?? GOOD[item.id]!;
      if (line !== '') this.say(line);
    }
    return this;
  }

  result(step: string) {
    return this.state.records.find(({ id }) => id === step)?.result;
  }
}
