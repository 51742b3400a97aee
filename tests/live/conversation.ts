import { setTimeout as pause } from 'node:timers/promises';
import type { Page } from 'playwright-core';
import { faultsFor, type Scenario } from '../../src/airsystem/scenario.ts';
import type { FliteVoice, Speech } from '../../src/answering/flite.ts';
import { SWEEP, sweepSound, tone, TONE_NAMES, toneSound } from '../../src/answering/tones.ts';
import type { CheckEvent, StartEvent } from '../../src/check/event.ts';
import { listensFor } from '../../src/check/listens-for.ts';
import { advance, startCheck as firstState } from '../../src/check/machine.ts';
import type { Plan } from '../../src/check/plan.ts';
import type { CheckState } from '../../src/check/state.ts';
import { cachedFlite } from '../../src/cli/assets/cached-flite.ts';
import { speechEdges, type CabNoise } from '../../src/cli/operator/operator-sound.ts';
import type { LimitProfile } from '../../src/judging/profile.ts';
import { openCab } from '../../src/rehearsal/cab.ts';
import { moveHands, sitUntil, takeSeat, type Seat } from '../../src/rehearsal/seat.ts';
import { languageOf, type Language } from '../../src/running/language.ts';
import type { Settings } from '../../src/running/settings.ts';
import { SAMPLE_RATE, type Ms } from '../../src/units/time.ts';
import { soundTimeOf, watchSoundTime } from '../e2e/sound-time.ts';
import { enterCab, startCheck, type Cab } from '../support/cab.ts';
import { loadGrammar } from '../support/grammar.ts';
import { quantile } from '../support/tube/conversation.ts';
import { calloutOf } from '../support/tube/edges.ts';
import { act, NEW_OPERATOR, spoke, type Act, type Operator, type Pace, type Said } from '../support/tube/operator.ts';
import { echoGain, gainTo, noiseOf, OPERATOR_DB, type Echo } from '../support/tube/room.ts';
import type { TubeRun } from '../support/tube/tube.ts';
import { airInPage, LAP, tapsInWorklet, type AirNews, type CabAir, type Pcm } from './air-in-page.ts';

export interface LiveOptions {
  readonly address: string;
  readonly scenario: Scenario;
  readonly plan: Plan;
  readonly profile: LimitProfile;
  readonly voice: FliteVoice;
  readonly pace: Pace;
  readonly noise: CabNoise;
  readonly echo: Echo;
  readonly settings: Partial<Settings>;
  /** It is given up after so long. */
  readonly longest: Ms;
}

/** A check in a real browser in real time. Its times are those of the cab's air. */
export interface LiveRun extends TubeRun {
  readonly complaints: readonly string[];
  /** How the machine lost sound, in words. */
  readonly dropped: readonly string[];
  /** How late the microphone's sound came to the page, the whole check long. */
  readonly late: readonly Ms[];
}

/** How often the operator looks and listens, ms of the real clock. */
const LOOK: Ms = 40;
/** A silence of the tool that is shorter lies between its words: longer than its longest pause. */
const BETWEEN_WORDS: Ms = 450;
/** Silence of the tool after which a check that is over is left. */
const LAST_WORDS: Ms = 3_000;
/** Sound that stood still, or was put in, by more than this was dropped by the machine, ms. */
const DROPPED: Ms = 60;
/** A browser whose sound stands still for so long plays and records none any more. */
const STANDSTILL: Ms = 60_000;
/** No device is so late. */
const LATE: Ms = 200;
/** The least that arrives of so many looks at the microphone's clock tells how late its sound is: the page may have been busy. */
const LOOKS = 20;
/** No words are heard sooner after their end. */
const HEARD: Ms = 250;
const RATE = 48_000;

const TONES = new Map<number, string>([
  [sweepSound().samples.length, SWEEP],
  ...TONE_NAMES.map((name): [number, string] => [toneSound(tone(name)).samples.length, tone(name)]),
]);

const TAPS = 'cab-air.js';
/** What has to be served beside the app: its policy runs nothing from another address. */
export const BESIDE_THE_APP = { [TAPS]: `(${tapsInWorklet.toString()})()` };

/** Does a check in a browser whose microphone hears the operator, the cab, and the tool itself. */
export async function runLive(options: LiveOptions): Promise<LiveRun> {
  const cab = await enterCab({
    address: options.address,
    settings: { voice: true, operator: 'A. Okafor', ...options.settings },
    prepare: async (page) => {
      await watchSoundTime(page, RATE);
      const taps = new URL(TAPS, options.address).href;
      await page.addInitScript(airInPage, { lap: LAP, taps, delay: options.echo.delay, gain: echoGain(options.echo) });
    },
  });
  try {
    return await new Conversation(cab, options).run();
  } finally {
    await cab.close();
  }
}

class Conversation {
  readonly #cab: Cab;
  readonly #page: Page;
  readonly #options: LiveOptions;
  readonly #language: Language;
  readonly #flite = cachedFlite();
  readonly #events: CheckEvent[] = [];
  readonly #answers: TubeRun['answers'][number][] = [];
  readonly #said: Said[] = [];
  readonly #sounds: { readonly from: Ms; to: Ms }[] = [];
  readonly #given: AirNews['given'][number][] = [];
  readonly #lags: AirNews['lags'][number][] = [];
  #seat: Seat;
  #operator: Operator = NEW_OPERATOR;
  #state: CheckState | undefined;
  #now: Ms = 0;
  /** Time of the air minus time of the check. */
  #offset: Ms = 0;

  constructor(cab: Cab, options: LiveOptions) {
    this.#cab = cab;
    this.#page = cab.page;
    this.#options = options;
    this.#language = languageOf(loadGrammar()).of(options.plan);
    this.#seat = takeSeat(openCab(options.scenario, faultsFor(options.scenario)));
  }

  async run(): Promise<LiveRun> {
    await this.#begin();
    const { longest } = this.#options;
    let moved = { to: this.#now, when: performance.now() };
    while (this.#now < longest && !this.#isOver()) {
      await this.#look();
      if (this.#now > moved.to) moved = { to: this.#now, when: performance.now() };
      else if (performance.now() > moved.when + STANDSTILL)
        throw new Error(`the browser's sound has stood still at ${(moved.to / 1000).toFixed(1)} s for a minute`);
      if (this.#now >= (this.#said.at(-1)?.end ?? 0)) await this.#operate();
      await pause(LOOK);
    }
    return this.#whatCame();
  }

  /** As far as the app says that it hears. */
  async #begin(): Promise<void> {
    const { plan, profile, noise, scenario } = this.#options;
    await this.#page.evaluate(
      (sound) => (globalThis as unknown as { cabAir: CabAir }).cabAir.noise(sound),
      pcmOf({ samples: noiseOf(noise), rate: SAMPLE_RATE }),
    );
    await this.#page.getByLabel('Import a plan').setInputFiles(jsonFile('plan.json', plan));
    await this.#page.getByText(`Added and chosen: ${plan.title}.`).waitFor();
    await this.#page.getByLabel('Import limits').setInputFiles(jsonFile('limits.json', profile));
    await this.#page.getByText(`Added and chosen: ${profile.title}.`).waitFor();
    await startCheck(this.#page, { rig: scenario.rig.name, plan: plan.id, limits: profile.id });
    await this.#page.getByRole('region', { name: 'Microphone' }).getByText('Heard by').waitFor();
  }

  #isOver(): boolean {
    return this.#state?.phase === 'done' && this.#now > this.#lastSound + LAST_WORDS;
  }

  async #look(): Promise<void> {
    const news = await this.#page.evaluate(() => (globalThis as unknown as { cabAir: CabAir }).cabAir.news());
    if (news.now === undefined) return;
    this.#now = news.now;
    this.#given.push(...news.given);
    this.#lags.push(...news.lags);
    for (const { at, begins } of news.sounds) {
      const last = this.#sounds.at(-1);
      if (begins) this.#sounds.push({ from: at, to: Infinity });
      else if (last !== undefined) last.to = at;
    }
    for (const { at, event } of news.kept) this.#takeEvent(event, at);
    this.#seat = sitUntil(this.#seat, this.#now);
  }

  #takeEvent(event: CheckEvent, at: Ms): void {
    this.#events.push(event);
    if (event.type === 'start') {
      this.#offset = at;
      this.#state = firstState(event).state;
      return;
    }
    if (this.#state === undefined) return;
    // Both are late by the time it took to hear, or to keep.
    if (event.type === 'callout') this.#offset = Math.min(this.#offset, at - event.end - HEARD);
    const { state, answers } = advance(this.#state, event);
    this.#state = state;
    if (event.type === 'callout') this.#answers.push(...answers.map((answer) => ({ at, answer })));
  }

  get #lastSound(): Ms {
    const { from = 0, to = 0 } = this.#sounds.at(-1) ?? {};
    return to === Infinity ? Math.max(from, this.#now) : to;
  }

  /** When the tool began to speak, while it does. */
  get #speakingSince(): Ms | undefined {
    if (this.#now > this.#lastSound + BETWEEN_WORDS) return undefined;
    const first = this.#sounds.findLast(
      ({ from }, index) => from - (this.#sounds[index - 1]?.to ?? -Infinity) > BETWEEN_WORDS,
    );
    return first?.from;
  }

  async #operate(): Promise<void> {
    const [operator, next] = act(
      this.#operator,
      {
        at: this.#now,
        tool: this.#state,
        offset: this.#offset,
        speakingSince: this.#speakingSince,
        silentSince: this.#lastSound,
        cab: this.#seat.cab,
        cuesMove: false,
      },
      this.#options.pace,
    );
    this.#operator = operator;
    if (next.move !== undefined) this.#seat = moveHands(this.#seat, next.move, this.#now);
    if (next.say !== undefined) await this.#say(next.say, next);
  }

  async #say(text: string, { mark, again }: Act): Promise<void> {
    const speech = await this.#flite.speak(text, this.#options.voice);
    const { onset, end } = speechEdges(speech.samples, speech.rate);
    const begun = await this.#page.evaluate(
      ([sound, gain]) => (globalThis as unknown as { cabAir: CabAir }).cabAir.say(sound, gain),
      [pcmOf(speech), gainTo(speech.samples, OPERATOR_DB)] as const,
    );
    const { belief } = this.#operator;
    const said: Said = {
      text,
      at: begun + onset,
      end: begun + end,
      step: belief?.start.plan.steps[belief.index]?.id ?? '',
      ...(mark === undefined ? {} : { mark }),
      again: again ?? false,
    };
    this.#said.push(said);
    const rules = belief === undefined ? [] : listensFor(belief);
    const meaning = this.#language.parse(rules, text.replaceAll(',', ''), this.#start.rig.unit);
    this.#operator = spoke(this.#operator, said, meaning, this.#offset);
  }

  get #start(): StartEvent {
    const [start] = this.#events;
    if (start?.type !== 'start') throw new Error('the check has not begun');
    return start;
  }

  async #whatCame(): Promise<LiveRun> {
    const run: TubeRun = {
      id: 'live',
      start: this.#start,
      events: this.#events,
      log: undefined,
      rehearsed: undefined,
      said: this.#said,
      answers: this.#answers,
      spoken: this.#spoken(),
      troubles: [],
      pages: [{ from: 0, offset: this.#offset }],
      seconds: this.#now / 1000,
      finished: this.#state?.phase === 'done',
    };
    return {
      ...run,
      pages: [{ from: 0, offset: offsetOf(run) }],
      complaints: this.#cab.complaints,
      dropped: this.#droppedIn(await soundTimeOf(this.#page)),
      late: this.#late(),
    };
  }

  /** Each sound that the tool gave, from its first audible sample to its last. */
  #spoken(): TubeRun['spoken'] {
    return this.#given.flatMap(({ at, samples }, index) => {
      const until = this.#given[index + 1]?.at ?? Infinity;
      const heard = this.#sounds.filter(({ from }) => from >= at && from < until);
      const [first, last] = [heard[0], heard.at(-1)];
      if (first === undefined || last === undefined) return [];
      return [{ words: TONES.get(samples) ?? 'words', at: first.from, end: last.to }];
    });
  }

  #lagsOfWords(): AirNews['lags'] {
    return this.#lags.filter(({ at }) => at > (this.#said[0]?.at ?? Infinity));
  }

  #late(): Ms[] {
    const lags = this.#lagsOfWords();
    return lags
      .map((_, index) => Math.min(...lags.slice(Math.max(0, index - LOOKS), index + 1).map(({ late }) => late)))
      .slice(LOOKS);
  }

  #droppedIn(behind: Ms): string[] {
    const told: string[] = [];
    if (this.#events.some((event) => event.type === 'interrupted')) told.push('the app says that sound was lost');
    if (behind > DROPPED) told.push(`the sound stood still for ${Math.round(behind)} ms`);
    const lags = this.#lagsOfWords();
    const [first] = lags;
    if (first === undefined) return [...told, 'nothing tells whether the microphone kept its time'];
    const slipped = lags.map(({ slip }) => Math.abs(slip - first.slip)).map((ms) => Math.min(ms, LAP - ms));
    if (Math.max(...slipped) > DROPPED)
      told.push(`the microphone’s sound slipped by ${Math.round(Math.max(...slipped))} ms`);
    const late = Math.max(...this.#late());
    if (late > LATE) told.push(`the microphone’s sound came ${Math.round(late)} ms late`);
    return told;
  }
}

/** Time of the air minus that of the check: the middle of what the onsets of all words tell. */
function offsetOf(run: TubeRun): Ms {
  const apart = run.said.flatMap((said) => {
    const callout = calloutOf(run, said);
    return callout === undefined ? [] : [said.at - callout.at];
  });
  return quantile(apart, 0.5) ?? run.pages[0]?.offset ?? 0;
}

function pcmOf({ samples, rate }: Speech): Pcm {
  const values = Int16Array.from(samples, (sample) => Math.round(Math.max(-1, Math.min(1, sample)) * 32_767));
  return { data: Buffer.from(values.buffer).toString('base64'), rate };
}

function jsonFile(name: string, value: unknown): { name: string; mimeType: string; buffer: Buffer } {
  return { name, mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(value)) };
}
