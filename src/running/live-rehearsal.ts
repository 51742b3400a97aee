import type { Fault } from '../airsystem/fault.ts';
import { faultsFor } from '../airsystem/scenario.ts';
import type { CalloutEvent } from '../check/event.ts';
import type { CheckState } from '../check/state.ts';
import { strangeCue } from '../check/whose.ts';
import { memoryStore } from '../record/memory-store.ts';
import type { Cab } from '../rehearsal/cab.ts';
import { openCab } from '../rehearsal/cab.ts';
import { catchUp } from '../rehearsal/catch-up.ts';
import type { CoachReport } from '../rehearsal/coach.ts';
import { coach } from '../rehearsal/coach.ts';
import type { HandsNow, Movement } from '../rehearsal/hands.ts';
import { ALWAYS_MOVES, HANDS_RULE, takeApart } from '../rehearsal/hands.ts';
import type { LevelId } from '../rehearsal/level.ts';
import { LEVEL, spokenAt } from '../rehearsal/level.ts';
import { listensAhead } from '../rehearsal/listens-ahead.ts';
import type { RehearsalSetup } from '../rehearsal/rehearsal.ts';
import { promptDue, rehearsalStart } from '../rehearsal/rehearsal.ts';
import type { Seat } from '../rehearsal/seat.ts';
import { handsNow, moveHands, sitUntil, takeSeat } from '../rehearsal/seat.ts';
import type { Action, CheckModel, LiveState } from './check-model.ts';
import type { Ear } from './ear.ts';
import type { Language } from './language.ts';
import type { LiveParts, Speech, Taking } from './live-check.ts';
import { LiveCheck } from './live-check.ts';
import type { Settings } from './settings.ts';
import type { Clock } from '../units/clock.ts';
import type { Ms } from '../units/time.ts';
import { Pulse } from './pulse.ts';
import { rehearsalModel } from './rehearsal-model.ts';

export interface RehearsalParts extends Clock, Pick<LiveParts, 'language' | 'listen'> {
  readonly ear: Ear;
  readonly speech: Speech;
  readonly settings: () => Settings;
  readonly onChange: () => void;
}

/** The cab as it stands, and the hands in it. */
export interface InCab {
  readonly cab: Cab;
  readonly hands: HandsNow;
}

/** What is left of a rehearsal when it is over. */
export interface Rehearsed {
  readonly setup: RehearsalSetup;
  readonly cab: Cab;
  readonly check: CheckState;
  readonly report: CoachReport;
}

interface Held {
  readonly callout: CalloutEvent;
  readonly movements: readonly Movement[];
  readonly isAsked: boolean;
}

/** 10 pictures a second; the needle glides from one to the next. The physics has its own fixed step. */
const TICK_MS = 100;

/**
 * A rehearsal that is being done: a live check as in a real cab, beside a simulated cab on the same clock. What is said, pressed or moved
 * reaches both; the check knows nothing of the cab's faults.
 */
export class LiveRehearsal {
  readonly setup: RehearsalSetup;
  readonly #parts: RehearsalParts;
  readonly #cuesMove: boolean;
  readonly #faults: readonly Fault[];
  readonly #check: LiveCheck;
  readonly #inCab: Pulse<InCab>;
  #seat: Seat;
  #prompted: string | undefined;
  /** What the hands did with words that may have been somebody else's, until it is known whose they were. */
  #held: Held | undefined;
  #over: Rehearsed | undefined;
  #stopTicking: () => void = () => undefined;

  /** With `cuesMove`, a cue of the check moves the controls that it speaks of. */
  constructor(parts: RehearsalParts, setup: RehearsalSetup, cuesMove: boolean) {
    this.setup = setup;
    this.#parts = parts;
    this.#cuesMove = cuesMove;
    this.#faults = faultsFor(setup.scenario, setup.seed);
    this.#seat = takeSeat(openCab(setup.scenario, this.#faults));
    this.#inCab = new Pulse(inCab(this.#seat));
    const { countAloud } = parts.settings();
    const start = { ...rehearsalStart(setup), settings: { countAloud, asksWhose: true } };
    this.#check = LiveCheck.begin(
      {
        ...parts,
        id: 'rehearsal',
        // A rehearsal leaves no log among those of real checks, and no sound.
        store: memoryStore(),
        wav: () => new Blob(),
        notices: () => [],
        language: withHands(parts.language, () => this.state, setup.level),
        speech: speechAt(setup.level, parts.speech),
        onChange: () => this.#changed(),
        takes: (callout, state) => this.#take(callout, state),
      },
      start,
    );
  }

  /** What the screen shows of the check at this level; undefined until it has begun. */
  get model(): CheckModel | undefined {
    const { model } = this.#check;
    return model === undefined ? undefined : rehearsalModel(model, this.setup.level, this.#check.start);
  }

  get live(): LiveState {
    return this.#check.live;
  }

  /** The check beside the cab; undefined until it has begun. */
  get state(): CheckState | undefined {
    return this.#check.state;
  }

  /** The time now on the clock of check and cab, in ms. */
  now(): Ms {
    return this.#check.now();
  }

  /** Beats with every picture of the needles. */
  get inCab(): Pulse<InCab> {
    return this.#inCab;
  }

  /** Set when the check is over. */
  get over(): Rehearsed | undefined {
    return this.#over;
  }

  async open(): Promise<void> {
    await this.#check.open();
    if (this.#over !== undefined) return;
    this.#stopTicking = this.#parts.every(TICK_MS, () => this.#pass());
  }

  /** A hand or foot moves now. */
  move(movement: Movement): void {
    if (this.#over !== undefined) return;
    this.#sit(moveHands(this.#seat, movement, this.now()));
  }

  act(action: Action, source: 'touch' | 'key'): void {
    this.#check.act(action, source);
  }

  async close(): Promise<void> {
    this.#stopTicking();
    await this.#check.close();
  }

  #pass(): void {
    const now = this.now();
    if (now > this.#seat.cab.at) this.#sit(sitUntil(this.#seat, now));
    const check = this.state;
    if (check === undefined) return;
    const prompted = this.#prompted === undefined ? {} : { prompted: this.#prompted };
    const prompt = promptDue({ setup: this.setup, check, cab: this.#seat.cab, ...prompted });
    if (prompt !== undefined) {
      this.#prompted = prompt.step.id;
      this.#check.say([prompt]);
    }
  }

  #sit(seat: Seat): void {
    this.#seat = seat;
    this.#inCab.beat(inCab(seat));
  }

  #take(callout: CalloutEvent, state: CheckState): Taking {
    const { callout: own, movements } = takeApart(callout, this.#cuesMove);
    if (own !== undefined && strangeCue(state, own) !== undefined)
      this.#held = { callout: own, movements, isAsked: false };
    else this.#moveAll(movements, callout.end);
    if (own === undefined) {
      return { events: [], caption: { words: callout.heard, taken: 'the controls are moved', used: true } };
    }
    return { events: LEVEL[this.setup.level].goesOn ? [...catchUp(state, own), own] : [own] };
  }

  #moveAll(movements: readonly Movement[], at: Ms): void {
    for (const movement of movements) this.#sit(moveHands(this.#seat, movement, at));
  }

  /** Moves what was held back, once it is known that the words were the trainee's, or that nobody is asked. */
  #settleHeld(check: CheckState): void {
    const held = this.#held;
    if (held === undefined) return;
    const { at, end } = held.callout;
    const index = check.callouts.findLastIndex((record) => record.at === at && record.end === end);
    const record = check.callouts[index];
    if (record === undefined) return;
    if (check.whose?.callout === index) {
      this.#held = { ...held, isAsked: true };
      return;
    }
    this.#held = undefined;
    if (!held.isAsked || record.taken) this.#moveAll(held.movements, end);
  }

  #changed(): void {
    const check = this.state;
    if (check !== undefined) this.#settleHeld(check);
    if (this.#over === undefined && check?.phase === 'done') {
      this.#stopTicking();
      const now = Math.max(this.now(), this.#seat.cab.at);
      this.#sit(sitUntil(this.#seat, now));
      const { cab } = this.#seat;
      this.#over = { setup: this.setup, cab, check, report: coach({ faults: this.#faults, cab, check }) };
    }
    this.#parts.onChange();
  }
}

function inCab(seat: Seat): InCab {
  return { cab: seat.cab, hands: handsNow(seat) };
}

/** The language of a check, and what moves the controls; a silent examiner also hears what belongs to later steps. */
function withHands(language: Language, state: () => CheckState | undefined, level: LevelId): Language {
  const rulesNow = (rules: readonly string[]): readonly string[] => {
    const now = state();
    if (rules.length === 0 || now === undefined) return rules;
    return [...(LEVEL[level].goesOn ? listensAhead(now, rules) : rules), ALWAYS_MOVES, HANDS_RULE];
  };
  return {
    ...language,
    parse: (rules, text, unit) => language.parse(rulesNow(rules), text, unit),
    ruleset: (rules, unit) => language.ruleset(rulesNow(rules), unit),
    of: (plan) => withHands(language.of(plan), state, level),
  };
}

/** Says and captions only what the trainee hears at a level. */
function speechAt(level: LevelId, speech: Speech): Speech {
  return {
    speak: (answers) => speech.speak(spokenAt(level, answers)),
    sound: (name) => speech.sound(name),
    operator: (speaks, pressed) => speech.operator(speaks, pressed),
    pass: (due) => speech.pass(due),
    cancel: () => speech.cancel(),
    caption: (answer) => (spokenAt(level, [answer]).length === 0 ? '' : speech.caption(answer)),
    get onSpeaking() {
      return speech.onSpeaking;
    },
    set onSpeaking(listener) {
      speech.onSpeaking = listener;
    },
    get onTrouble() {
      return speech.onTrouble;
    },
    set onTrouble(listener) {
      speech.onTrouble = listener;
    },
  };
}
