import type { Plan, Step } from '../../check/plan.ts';
import { readPlan } from '../../check/read-plan.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { orderFault } from './plan-order.ts';

interface DraftStep {
  readonly step: Step;
  /** False: not in the plan when it is saved. */
  readonly on: boolean;
}

/** A plan while it is changed. `planOf` of any draft that these functions give is a valid plan. */
export interface PlanDraft {
  readonly id: string;
  readonly title: string;
  readonly steps: readonly DraftStep[];
}

export type StepText = 'title' | 'brief' | 'instruction' | 'caution';

/** Shorter is over before it is read, longer is not judged: cooling air cannot be told from a leak. */
export const HOLD_SECONDS = { least: 5, most: 299 };
/** What air brake dials show. */
const HIGHEST = { psi: 160, kPa: 1100 };

/**
 * A draft of `plan` under `id` and `title`. Steps of the plans in `pool` that it does not have are offered in it,
 * switched off, behind the step that they follow there.
 */
export function draftOf(plan: Plan, id: string, title: string, pool: readonly Plan[]): PlanDraft {
  const steps: DraftStep[] = plan.steps.map((step) => ({ step, on: true }));
  for (const other of pool) {
    let at = 0;
    for (const step of other.steps) {
      const known = steps.findIndex((each) => each.step.id === step.id);
      if (known < 0) steps.splice(at, 0, { step, on: false });
      at = (known < 0 ? at : known) + 1;
    }
  }
  return { id, title, steps };
}

/** The plan as it would be saved: the steps that are on, the clock only where it is both started and stopped. */
export function planOf({ id, title, steps }: PlanDraft): Plan {
  const on = steps.flatMap((each) => (each.on ? [each.step] : []));
  const start = on.findIndex(({ startsClock }) => startsClock !== undefined);
  const stop = on.findLastIndex(({ stopsClock }) => stopsClock !== undefined);
  const runs = start >= 0 && start <= stop;
  const timed = on.map(({ startsClock, stopsClock, ...rest }, index) => ({
    ...rest,
    ...(runs && index === start && startsClock !== undefined ? { startsClock } : {}),
    ...(runs && index === stop && stopsClock !== undefined ? { stopsClock } : {}),
  }));
  return { format: 'two-needles-plan', version: 1, id, title, steps: timed };
}

/** Changes of a draft. Each is refused, with the reason, when what it gives would be no valid plan. */
export class PlanChanges {
  readonly #cues: ReadonlySet<string>;

  constructor(knownCues: ReadonlySet<string>) {
    this.#cues = knownCues;
  }

  retitle(draft: PlanDraft, title: string): Outcome<PlanDraft> {
    return title.trim() === '' ? EMPTY : this.#checked(draft, { ...draft, title: title.trim() });
  }

  /** One place up (-1) or down (1). */
  move(draft: PlanDraft, index: number, by: -1 | 1): Outcome<PlanDraft> {
    const [step, other] = [draft.steps[index], draft.steps[index + by]];
    if (step === undefined || other === undefined)
      return bad(by < 0 ? 'It is the first step.' : 'It is the last step.');
    return this.#checked(draft, { ...draft, steps: draft.steps.with(index, other).with(index + by, step) });
  }

  switchStep(draft: PlanDraft, index: number, on: boolean): Outcome<PlanDraft> {
    return this.#checked(draft, {
      ...draft,
      steps: draft.steps.map((each, at) => (at === index ? { ...each, on } : each)),
    });
  }

  /** The length of a hold, in whole seconds. */
  setHold(draft: PlanDraft, index: number, seconds: number): Outcome<PlanDraft> {
    const { least, most } = HOLD_SECONDS;
    if (!Number.isInteger(seconds) || seconds < least || seconds > most)
      return bad(`A hold is ${String(least)} to ${String(most)} whole seconds.`);
    return this.#step(draft, index, (step) => ({ ...step, holdSeconds: seconds }));
  }

  /** One end of a build-up window, in the unit that it has. */
  setEnd(draft: PlanDraft, index: number, end: 'from' | 'to', value: number): Outcome<PlanDraft> {
    const unit = draft.steps[index]?.step[end]?.unit;
    if (unit === undefined) return bad('Only a build-up has a window.');
    if (!(value > 0 && value <= HIGHEST[unit]))
      return bad(`Give a pressure above 0 and up to ${String(HIGHEST[unit])} ${unit}.`);
    return this.#step(draft, index, (step) => ({ ...step, [end]: { value, unit } }));
  }

  /** A text of a step. A caution can be added and reworded, not taken away. */
  setText(draft: PlanDraft, index: number, key: StepText, text: string): Outcome<PlanDraft> {
    const words = text.trim();
    if (words === '') {
      if (key !== 'caution') return EMPTY;
      return draft.steps[index]?.step.caution === undefined
        ? good(draft)
        : bad('The caution of a step can be reworded, not taken away.');
    }
    return this.#step(draft, index, (step) => ({ ...step, [key]: words }));
  }

  #step(draft: PlanDraft, index: number, change: (step: Step) => Step): Outcome<PlanDraft> {
    const steps = draft.steps.map((each, at) => (at === index ? { ...each, step: change(each.step) } : each));
    return this.#checked(draft, { ...draft, steps });
  }

  #checked(before: PlanDraft, after: PlanDraft): Outcome<PlanDraft> {
    const plan = planOf(after);
    if (plan.steps.length === 0) return bad('A plan has at least one step.');
    // A plan that was already in an odd order when it was imported can still be changed in other ways.
    const fault = orderFault(plan.steps);
    if (fault !== undefined && fault !== orderFault(planOf(before).steps)) return bad(fault);
    // Steps that are off have to be valid too: they can be switched on later.
    const whole = planOf({ ...after, steps: after.steps.map(({ step }) => ({ step, on: true })) });
    for (const each of [plan, whole]) {
      const read = readPlan(each, 'plan', this.#cues);
      if (!read.ok) return bad(read.problem.what, undefined, read.problem.repair);
    }
    return good(after);
  }
}

const EMPTY = bad('This cannot be empty.');
