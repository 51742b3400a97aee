import { DEMO_RIGS } from '../airsystem/rig.ts';
import type { CalloutEvent, StartEvent } from '../check/event.ts';
import { placesOf } from '../check/places.ts';
import type { Plan } from '../check/plan.ts';
import type { CheckState } from '../check/state.ts';
import type { DefectClass } from '../items/item.ts';
import { ITEMS_RULE } from '../items/items-grammar.ts';
import type { LimitProfile } from '../judging/profile.ts';
import { memoryStore } from '../record/memory-store.ts';
import { LEVEL, type LevelId } from '../rehearsal/level.ts';
import { coachWalk, CLASS_WORDS, type Walked, type WalkReport } from '../rehearsal/pre-trip/coach-walk.ts';
import {
  classIsOf,
  explain,
  explainGrammar,
  EXPLAIN_FILE,
  takeClass,
  withClasses,
  type Explanations,
} from '../rehearsal/pre-trip/explain.ts';
import { spokenOnWalk } from '../rehearsal/pre-trip/spoken.ts';
import { END_STEP, paperFaults } from '../rehearsal/pre-trip/walk.ts';
import { rigSettingsOf } from '../rehearsal/rig-settings.ts';
import type { Action, CheckModel, LiveState } from './check-model.ts';
import type { Language } from './language.ts';
import { LiveCheck, type Speech, type Taking } from './live-check.ts';
import type { RehearsalParts } from './live-rehearsal.ts';

export interface WalkSetup {
  /** Of `paperPlan`. */
  readonly plan: Plan;
  readonly profile: LimitProfile;
  readonly level: LevelId;
  readonly seed: number;
  readonly trainee: string;
  /** ISO 8601, when it begins. */
  readonly wall: string;
}

/** What is left of a walk on paper when it is over. */
export interface WalkedOver {
  readonly setup: WalkSetup;
  readonly report: WalkReport;
}

/** The rig of a log says what it is, wherever the log may turn up. */
const PAPER_RIG = { ...rigSettingsOf(DEMO_RIGS['engine-31']), id: 'rehearsal', name: 'rehearsal: a rig on paper' };

/**
 * A walk on paper that is being done: a live check of the plan's items over drawings, and beside it what was pointed at and put into a
 * class. The check knows nothing of the faults.
 */
export class LiveWalk {
  readonly setup: WalkSetup;
  readonly #parts: RehearsalParts;
  readonly #faults: Walked['faults'];
  readonly #check: LiveCheck;
  #explained: Explanations = {};
  #over: WalkedOver | undefined;

  constructor(parts: RehearsalParts, setup: WalkSetup) {
    this.setup = setup;
    this.#parts = parts;
    const { plan, profile, level, seed, trainee, wall } = setup;
    this.#faults = paperFaults(plan, seed, level);
    const { asking } = LEVEL[level];
    const start: StartEvent = { type: 'start', at: 0, wall, plan, profile, rig: PAPER_RIG, operator: trainee, asking };
    this.#check = LiveCheck.begin(
      {
        ...parts,
        id: 'rehearsal',
        // As with the air brakes, no log is left among those of real checks, and no sound.
        store: memoryStore(),
        wav: () => new Blob(),
        notices: () => [],
        language: explaining(parts.language, () => this.state),
        speech: speechAt(level, parts.speech),
        onChange: () => this.#changed(),
        takes: (callout, state) => this.#take(callout, state),
      },
      start,
    );
  }

  /** Of the check beside the drawings; undefined until it has begun. */
  get model(): CheckModel | undefined {
    return this.#check.model;
  }

  get live(): LiveState {
    return this.#check.live;
  }

  get state(): CheckState | undefined {
    return this.#check.state;
  }

  /** What was rehearsed so far; undefined until it has begun. */
  get walked(): Walked | undefined {
    const check = this.state;
    return check === undefined ? undefined : { faults: this.#faults, check, explained: this.#explained };
  }

  /** How many faults there are, for a level that tells it. */
  get faults(): number {
    return this.#faults.length;
  }

  get over(): WalkedOver | undefined {
    return this.#over;
  }

  open(): Promise<void> {
    return this.#check.open();
  }

  act(action: Action, source: 'touch' | 'key'): void {
    this.#check.act(action, source);
  }

  /** A spot of the item's drawing is pointed at, or its defect is put into a class. */
  explain(item: string, what: { readonly spot?: string; readonly class?: DefectClass }): void {
    if (this.#over !== undefined) return;
    this.#explained = explain(this.#explained, item, what);
    this.#parts.onChange();
  }

  close(): Promise<void> {
    return this.#check.close();
  }

  #take(callout: CalloutEvent, state: CheckState): Taking {
    if (callout.meaning === undefined) return { events: [callout] };
    const { meaning, class: told } = takeClass(callout.meaning);
    if (told === undefined) return { events: [callout] };
    const items = placesOf(state.start.plan).flatMap((place) => place.items);
    const of = classIsOf(items, meaning.items ?? [], state.callouts);
    for (const item of of) this.#explained = explain(this.#explained, item, { class: told });
    if (meaning.items !== undefined) return { events: [{ ...callout, meaning }] };
    const taken = of.length === 0 ? 'no defect was called yet' : `class: ${CLASS_WORDS[told]}`;
    return { events: [], caption: { words: callout.heard, taken, used: of.length > 0 } };
  }

  #changed(): void {
    const walked = this.walked;
    if (this.#over === undefined && walked?.check.phase === 'done')
      this.#over = { setup: this.setup, report: coachWalk(walked) };
    this.#parts.onChange();
  }
}

const made = new WeakMap<Language, WeakMap<Plan, Language>>();

/** Made once for each plan, since another rig is walked at once. */
function withExplaining(language: Language, plan: Plan): Language {
  const known = made.get(language) ?? new WeakMap<Plan, Language>();
  made.set(language, known);
  const own = known.get(plan) ?? language.of(plan, { [EXPLAIN_FILE]: explainGrammar(placesOf(plan)) });
  known.set(plan, own);
  return own;
}

/** The language of a walk, with the classes; at its end, what is said of any item still counts. */
function explaining(language: Language, state: () => CheckState | undefined): Language {
  const rulesNow = (rules: readonly string[]): readonly string[] => {
    const now = state();
    const isEnd = now?.start.plan.steps[now.index]?.id === END_STEP && !rules.includes(ITEMS_RULE);
    return withClasses(isEnd && rules.length > 0 ? [...rules, ITEMS_RULE] : rules);
  };
  return {
    ...language,
    of: (plan) => {
      const own = withExplaining(language, plan);
      return {
        ...own,
        parse: (rules, text, unit) => own.parse(rulesNow(rules), text, unit),
        ruleset: (rules, unit) => own.ruleset(rulesNow(rules), unit),
      };
    },
  };
}

/** Says and captions only what the trainee hears at a level. */
function speechAt(level: LevelId, speech: Speech): Speech {
  return {
    speak: (answers) => speech.speak(spokenOnWalk(level, answers)),
    sound: (name) => speech.sound(name),
    operator: (speaks, pressed) => speech.operator(speaks, pressed),
    pass: (due) => speech.pass(due),
    cancel: () => speech.cancel(),
    caption: (answer) =>
      spokenOnWalk(level, [answer])
        .map((each) => speech.caption(each))
        .join(' '),
    get onSpeaking() {
      return speech.onSpeaking;
    },
    set onSpeaking(listener) {
      speech.onSpeaking = listener;
    },
  };
}
