import type { AirEventKind } from '../airsystem/air.ts';
import type { Answer } from '../check/answer.ts';
import { cueWords } from '../check/cue-words.ts';
import type { Controls } from '../airsystem/controls.ts';
import { HANDS_OFF } from '../airsystem/controls.ts';
import { dial } from '../airsystem/gauges.ts';
import type { Meaning, SpokenReading } from '../grammar/meaning.ts';
import type { Pressure } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import type { Rehearsal } from './rehearsal.ts';
import { advanceRehearsal, callOut } from './rehearsal.ts';
import { sampleAt } from './play.ts';
import { spokenNumber } from './synthetic-operator-numbers.ts';

/** How fast somebody who has done it often speaks and reacts. Ours, no source. */
const WORD_MS: Ms = 330;
const BETWEEN_MS: Ms = 700;
/** Before the pause that goes before every callout. */
const REACTION_MS: Ms = 300;
const TICK_MS: Ms = 100;
/** Nobody waits longer for a needle. */
const PATIENCE_MS: Ms = 15 * 60_000;
/** A needle has settled when it no longer rises, and falls in 5 s as far as in the 5 s before, to within this. */
const STEADY_PSI = 0.06;
const LONGEST_SETTLING_MS: Ms = 4 * 60_000;

export interface Needles {
  readonly primary: Pressure;
  readonly secondary: Pressure;
}

/** Hands, eyes and voice of a scripted trainee; time passes in a rehearsal as they are used. */
export class ScriptedCab {
  #rehearsal: Rehearsal;
  #controls: Controls = HANDS_OFF;

  constructor(rehearsal: Rehearsal) {
    this.#rehearsal = rehearsal;
  }

  get rehearsal(): Rehearsal {
    return this.#rehearsal;
  }

  /** How often somebody who waits looks at the needles. */
  protected get tick(): Ms {
    return TICK_MS;
  }

  get now(): Ms {
    return this.#rehearsal.cab.at;
  }

  wait(ms: Ms): void {
    // Whole ticks of the trace keep every run alike.
    const to = Math.ceil((this.now + ms) / TICK_MS) * TICK_MS;
    this.#rehearsal = advanceRehearsal(this.#rehearsal, to, this.#controls).rehearsal;
    this.#controls = { ...this.#controls, parking: 'leave' };
  }

  set(change: Partial<Controls>): void {
    this.#controls = { ...this.#controls, ...change };
    this.wait(300);
  }

  /** What the dials show. */
  read(): Needles {
    return dial(this.#rehearsal.cab.air);
  }

  /** True when it happened since `since`. */
  saw(kind: AirEventKind, since: Ms): boolean {
    return this.#rehearsal.cab.happened.some((event) => event.kind === kind && event.at > since);
  }

  /** Waits until something is so; false when it does not come. */
  until(done: () => boolean, patience: Ms = PATIENCE_MS): boolean {
    const give = this.now + patience;
    while (!done()) {
      if (this.now >= give) return false;
      this.wait(this.tick);
    }
    return true;
  }

  /** Fans the pedal until something happens, and takes the foot off; false when both needles are below `floor` psi first, or it takes too long. */
  fanUntil(kind: AirEventKind, floor: number, [on, off]: readonly [Ms, Ms]): boolean {
    const since = this.now;
    while (this.now < since + PATIENCE_MS) {
      this.set({ pedalPsi: 150 });
      const down = this.until(() => this.saw(kind, since), on - 300);
      this.set({ pedalPsi: 0 });
      if (down || this.until(() => this.saw(kind, since), off - 300)) return true;
      const { primary, secondary } = sampleAt(this.#rehearsal.cab, this.now);
      if (Math.max(primary, secondary) < floor) break;
    }
    return false;
  }

  /** Waits until the needles stand, or fall steadily as with a leak. */
  settle(): void {
    this.wait(10_000);
    this.until(
      () => (['primary', 'secondary'] as const).every((circuit) => this.#isSteady(circuit)),
      LONGEST_SETTLING_MS,
    );
  }

  #isSteady(circuit: 'primary' | 'secondary'): boolean {
    const { cab } = this.#rehearsal;
    const [before = 0, between = 0, now = 0] = [10_000, 5_000, 0].map((ago) => sampleAt(cab, this.now - ago)[circuit]);
    const rise = now - between;
    return rise <= 0 && Math.abs(rise - (between - before)) < STEADY_PSI;
  }

  react(more: Ms = 0): void {
    this.wait(REACTION_MS + more);
  }

  cue(cue: string): void {
    this.#call(cueWords(cue), { cues: [cue] });
  }

  skip(): void {
    this.#call('skip this step out of service', { cues: [], command: 'skip', reason: 'out-of-service' });
  }

  /** Calls both needles; those that the dials show at the first word when absent. Returns when the last word was over. */
  needles(called?: Needles): Ms {
    this.wait(BETWEEN_MS);
    const { primary, secondary } = called ?? this.read();
    return this.#call(
      `primary ${inWords(primary)} secondary ${inWords(secondary)}`,
      reading({ primary, secondary }),
      0,
      // Whoever has to call the needles again looks at them again.
      () => this.needles(called),
    );
  }

  both(pressure: Pressure): void {
    this.#call(`both at ${inWords(pressure)}`, reading({ primary: pressure, secondary: pressure }), 0);
  }

  #call(
    heard: string,
    meaning: Meaning,
    before: Ms = BETWEEN_MS,
    again: () => void = () => this.#call(heard, meaning),
  ): Ms {
    if (before > 0) this.wait(before);
    const at = this.now;
    this.wait(heard.split(' ').length * WORD_MS);
    const end = this.now;
    const callout = { type: 'callout', at, end, heard, confidence: 1, source: 'transcript', meaning } as const;
    const turn = callOut(this.#rehearsal, callout);
    this.#rehearsal = turn.rehearsal;
    this.#obey(turn.answers, again);
    return end;
  }

  /** Does what the tool asks for, where the level lets it speak. */
  #obey(answers: readonly Answer[], again: () => void): void {
    const { phase, callouts } = this.#rehearsal.check;
    if (phase === 'asking') this.#call('yes', { cues: [], command: 'yes' });
    for (const answer of answers) {
      if (answer.type === 'hold-not-over') {
        this.wait(answer.seconds * 1000);
        this.needles();
      } else if (answer.type === 'still-needed' && callouts.at(-1)?.taken === false && !answer.reading) {
        for (const cue of answer.cues) this.cue(cue);
        again();
      }
    }
  }
}

function reading(spoken: SpokenReading): Meaning {
  return { cues: [], reading: spoken };
}

function inWords({ value }: Pressure): string {
  return value < 200 && Number.isInteger(2 * value) ? spokenNumber(value, 'digits') : String(value);
}
