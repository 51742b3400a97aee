import type { Scenario } from '../../src/airsystem/scenario.ts';
import { dial } from '../../src/airsystem/gauges.ts';
import { cachedFlite } from '../../src/cli/assets/cached-flite.ts';
import type { OperatorVoice } from '../../src/cli/operator/operator-recording.ts';
import { QUIET_CAB } from '../../src/cli/operator/operator-recording.ts';
import type { PlacedClip } from '../../src/cli/operator/operator-sound.ts';
import { mixTrack, speechEdges } from '../../src/cli/operator/operator-sound.ts';
import { loadGrammar } from '../../src/cli/shared/read-inputs.ts';
import { parse } from '../../src/grammar/parse.ts';
import type { Grammar } from '../../src/grammar/syntax.ts';
import { writeWav } from '../../src/hearing/wav.ts';
import { openCab } from '../../src/rehearsal/cab.ts';
import { HANDS_RULE, takeApart } from '../../src/rehearsal/hands.ts';
import type { Seat } from '../../src/rehearsal/seat.ts';
import { moveHands, sitUntil, takeSeat } from '../../src/rehearsal/seat.ts';
import { spokenNumber } from '../../src/rehearsal/synthetic-operator-numbers.ts';
import { problemLine } from '../../src/units/outcome.ts';
import { SAMPLE_RATE, type Ms } from '../../src/units/time.ts';

/** Time for a page to load the recogniser before the first word. */
const PAGE_LOAD: Ms = 12_000;
/** The cab stands, and leaks, about so long before its microphone plays the sound: 1.5 s on an idle machine, 5 s on a busy one. */
const START_LAG: Ms = 3_000;
/** From the end of one callout to the next, so that a busy machine has understood it. */
const BREATH: Ms = 1_600;
const TAIL: Ms = 4_000;

/**
 * A trainee whose voice moves the controls of a simulated cab: the same air system as in the app, run beside the sound that is made. What
 * is read off its dials is what is said. Nothing in the cab moves before the first word and every movement begins at the end of a word, so
 * that sound and cab agree in the app too, from whatever moment its microphone begins to play the sound.
 */
export class SpokenTrainee {
  readonly #grammar: Grammar;
  readonly #voice: OperatorVoice;
  readonly #clips: PlacedClip[] = [];
  readonly #flite = cachedFlite();
  #seat: Seat;

  static async enter(scenario: Scenario, voice: OperatorVoice): Promise<SpokenTrainee> {
    const grammar = await loadGrammar();
    if (!grammar.ok) throw new Error(problemLine(grammar.problem));
    return new SpokenTrainee(scenario, voice, grammar.value);
  }

  private constructor(scenario: Scenario, voice: OperatorVoice, grammar: Grammar) {
    this.#grammar = grammar;
    this.#voice = voice;
    this.#seat = sitUntil(takeSeat(openCab(scenario, scenario.faults)), START_LAG + PAGE_LOAD);
  }

  get now(): Ms {
    return this.#seat.cab.at;
  }

  /** True when the governor has cut out. */
  get isFull(): boolean {
    return !this.#seat.cab.air.loaded;
  }

  wait(ms: Ms): void {
    this.#seat = sitUntil(this.#seat, this.now + ms);
  }

  until(done: () => boolean): void {
    const patience = this.now + 60_000;
    while (!done()) {
      if (this.now > patience) throw new Error('it does not come');
      this.wait(100);
    }
  }

  /** Says it, moves what it moves at its end, and takes a breath. Gives the time at which the words ended. */
  async say(text: string): Promise<Ms> {
    const { samples, rate } = await this.#flite.speak(text, this.#voice);
    const { onset, end } = speechEdges(samples, rate);
    this.#clips.push({ at: this.now - START_LAG - onset, samples });
    this.wait(end - onset);
    const ended = this.now;
    const meaning = parse(this.#grammar, ['anything', HANDS_RULE], text, 'psi');
    if (meaning === undefined) throw new Error(`“${text}” is not in the grammar`);
    const callout = {
      type: 'callout',
      at: ended,
      end: ended,
      heard: text,
      confidence: 1,
      source: 'voice',
      meaning,
    } as const;
    for (const movement of takeApart(callout, true).movements) this.#seat = moveHands(this.#seat, movement, ended);
    this.wait(BREATH);
    return ended;
  }

  /** Reads both dials and says them. */
  async needles(): Promise<Ms> {
    const { primary, secondary } = dial(this.#seat.cab.air);
    return this.say(
      `primary ${spokenNumber(primary.value, 'digits')}, secondary ${spokenNumber(secondary.value, 'digits')}`,
    );
  }

  /** The sound so far, as WAV bytes, and its length in seconds. */
  recording(): { readonly wav: Uint8Array<ArrayBuffer>; readonly seconds: number } {
    const samples = mixTrack(this.#clips, this.now - START_LAG + TAIL, QUIET_CAB);
    return { wav: new Uint8Array(writeWav(samples, SAMPLE_RATE)), seconds: samples.length / SAMPLE_RATE };
  }
}
