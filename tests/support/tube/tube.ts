import { faultsFor, type Scenario } from '../../../src/airsystem/scenario.ts';
import type { FliteVoice } from '../../../src/answering/flite.ts';
import type { Sounding } from '../../../src/answering/voice.ts';
import type { Answer } from '../../../src/check/answer.ts';
import type { CheckEvent, StartEvent } from '../../../src/check/event.ts';
import { listensFor } from '../../../src/check/listens-for.ts';
import type { Plan } from '../../../src/check/plan.ts';
import { speechEdges } from '../../../src/cli/operator/operator-sound.ts';
import type { LimitProfile } from '../../../src/judging/profile.ts';
import { diskStore } from '../../../src/record/disk-store.ts';
import type { LogFile } from '../../../src/record/log.ts';
import { newKeyPair, signerOf } from '../../../src/record/signer.ts';
import { openCab } from '../../../src/rehearsal/cab.ts';
import type { LevelId } from '../../../src/rehearsal/level.ts';
import { rigSettingsOf } from '../../../src/rehearsal/rig-settings.ts';
import { moveHands, sitUntil, takeSeat, type Seat } from '../../../src/rehearsal/seat.ts';
import { languageOf, type Language } from '../../../src/running/language.ts';
import type { Rehearsed } from '../../../src/running/live-rehearsal.ts';
import { DEFAULT_SETTINGS, type Settings } from '../../../src/running/settings.ts';
import { liveSettings } from '../../../src/ui/shell/start-event.ts';
import { msToSamples, SAMPLE_RATE, type Ms } from '../../../src/units/time.ts';
import type { TubeEar, TubeHost } from './host.ts';
import { act, NEW_OPERATOR, spoke, type Act, type Operator, type Pace, type Said } from './operator.ts';
import { TubePage } from './page.ts';
import { Room, type Echo, type RoomOptions } from './room.ts';
import { SampleClock } from './sample-clock.ts';
import { troubledDisk, type DiskTrouble } from './tube-disk.ts';

export interface TubeOptions {
  /** The rig, its faults and its morning pressures. */
  readonly scenario: Scenario;
  readonly plan: Plan;
  readonly profile: LimitProfile;
  readonly voice: FliteVoice;
  readonly pace: Pace;
  readonly noise: RoomOptions['noise'];
  readonly echo?: Echo;
  readonly settings?: Partial<Settings>;
  /** The check is rehearsed, at this level: the rig is the one of the rehearsal, and words move its controls. */
  readonly rehearsal?: LevelId;
  /** How the pad is pressed for the nth words, from 0 on; not at all when undefined. */
  readonly pad?: (nth: number) => Press | undefined;
  /** The one that listens, and those that take over. */
  readonly ears?: readonly TubeEar[];
  /** What is killed, at a sample of the tube. */
  readonly kills?: readonly { readonly at: number; readonly what: 'hearing' | 'engine' }[];
  /** Sound that never reaches the page: from a sample of the tube on, for so long. */
  readonly gaps?: readonly { readonly at: number; readonly ms: Ms }[];
  readonly disk?: DiskTrouble;
  /** How long a closed page stays closed. */
  readonly away?: Ms;
  /** Sample rate of the microphone, Hz. */
  readonly rate?: number;
  /** The tube gives up after so much sound. */
  readonly longest?: Ms;
}

/** One press of the pad around words. */
interface Press {
  /** From the press to the onset of the words. */
  readonly before: Ms;
  /** From the end of the words to when the pad is let go of, negative when that is before it. */
  readonly after: Ms;
}

/** Something that the tool spoke; `end` is when it fell silent. */
interface Spoken {
  readonly words: string;
  readonly at: Ms;
  readonly end: Ms;
}

/** All that came of a check in a test tube. */
export interface TubeRun {
  readonly id: string;
  readonly start: StartEvent;
  /** The log as it lies on the disk, without its seal. */
  readonly events: readonly CheckEvent[];
  /** As it is exported, with chain and seal. */
  readonly log: LogFile | undefined;
  /** Of a rehearsal, which leaves no log. */
  readonly rehearsed: Rehearsed | undefined;
  readonly said: readonly Said[];
  readonly answers: readonly { readonly at: Ms; readonly answer: Answer }[];
  /** What the tool spoke, in phrases and tones, from the first sound to the last. */
  readonly spoken: readonly Spoken[];
  readonly troubles: readonly string[];
  /** When each page was opened, and the time of the tube minus that of the check in it. */
  readonly pages: readonly { readonly from: Ms; readonly offset: Ms }[];
  /** Sound heard, in seconds. */
  readonly seconds: number;
  readonly finished: boolean;
}

/** What an AudioWorklet hands over at once is about so long. */
const CHUNK = msToSamples(20);
const LONGEST: Ms = 30 * 60_000;
/** Sound after the check is over: its last words. */
const LAST_WORDS: Ms = 20_000;
/** Sound after the onset of the last line of a script: the words, and what comes of them. */
const LAST_LINE: Ms = 3_000;
const WALL = Date.UTC(2026, 4, 4, 7, 30);

/** Does a whole check in a test tube. The same options give the same run, bit for bit, on any machine. */
export async function runTube(host: TubeHost, options: TubeOptions): Promise<TubeRun> {
  return new Tube(host, options, await signerOf(await newKeyPair())).run();
}

class Tube {
  readonly #host: TubeHost;
  readonly #options: TubeOptions;
  readonly #signer: Awaited<ReturnType<typeof signerOf>>;
  readonly #clock = new SampleClock();
  readonly #room: Room;
  readonly #language: Language;
  readonly #start: StartEvent;
  readonly #said: Said[] = [];
  readonly #answers: { at: Ms; answer: Answer }[] = [];
  readonly #troubles: string[] = [];
  readonly #spoken: Spoken[] = [];
  readonly #pages: { from: Ms; offset: Ms }[] = [];
  readonly #written = { written: 0 };
  #seat: Seat;
  #operator: Operator = NEW_OPERATOR;
  #speakingUntil = -Infinity;
  #toolSince: Ms | undefined;
  #toolSilent: Ms = 0;

  constructor(host: TubeHost, options: TubeOptions, signer: Awaited<ReturnType<typeof signerOf>>) {
    this.#host = host;
    this.#options = options;
    this.#signer = signer;
    this.#room = new Room({ noise: options.noise, ...(options.echo === undefined ? {} : { echo: options.echo }) });
    this.#language = languageOf(host.grammar).of(options.plan);
    this.#seat = takeSeat(openCab(options.scenario, faultsFor(options.scenario)));
    this.#start = {
      type: 'start',
      at: 0,
      wall: this.#wall(),
      plan: options.plan,
      profile: options.profile,
      rig: rigSettingsOf(options.scenario.rig),
      operator: 'A. Okafor',
      asking: 'ask',
      settings: liveSettings(options.settings?.countAloud ?? DEFAULT_SETTINGS.countAloud),
    };
  }

  async run(): Promise<TubeRun> {
    const id = 'check-in-a-tube';
    const database = `tube-${crypto.randomUUID()}`;
    const { longest = LONGEST, away = 0 } = this.#options;
    let page = await this.#openPage(database);
    await this.#begin(page, id);
    this.#pages.push({ from: this.#clock.ms, offset: page.offset });
    let reopenAt: Ms | undefined;
    let endAt = longest;
    while (this.#clock.ms < endAt) {
      await this.#pass(page);
      if (page.isDead && reopenAt === undefined) {
        reopenAt = this.#clock.ms + away;
        this.#operator = NEW_OPERATOR;
        this.#toolSince = undefined;
      }
      if (reopenAt !== undefined && this.#clock.ms >= reopenAt) {
        reopenAt = undefined;
        page = await this.#openPage(database);
        await page.resume(id);
        this.#pages.push({ from: this.#clock.ms, offset: page.offset });
      }
      if (page.state?.phase === 'done') {
        endAt = Math.min(endAt, this.#clock.ms + LAST_WORDS);
        if (!page.isSpeaking) break;
      }
      const { script } = this.#options.pace;
      if (script !== undefined && this.#operator.lines === script.length)
        endAt = Math.min(endAt, this.#clock.ms + LAST_LINE);
    }
    const finished = page.state?.phase === 'done';
    const log = page.isDead ? undefined : await page.store.log(id);
    const events = await page.store.events(id);
    const { rehearsed } = page;
    await page.close();
    return {
      id,
      start: this.#start,
      events,
      log,
      rehearsed,
      said: this.#said,
      answers: this.#answers,
      spoken: this.#spoken,
      troubles: [...new Set(this.#troubles)],
      pages: this.#pages,
      seconds: this.#clock.now / SAMPLE_RATE,
      finished,
    };
  }

  #begin(page: TubePage, id: string): Promise<void> {
    const { rehearsal: level, scenario, plan, profile } = this.#options;
    if (level === undefined) return page.begin(id, this.#start);
    return page.rehearse({ level, scenario, plan, profile, trainee: 'P. Serrano', wall: this.#wall() });
  }

  /** A chunk of time passes: timers, rig, microphone, and then the operator. */
  async #pass(page: TubePage): Promise<void> {
    const { kills = [], rate = SAMPLE_RATE } = this.#options;
    const from = this.#clock.now;
    this.#clock.advance(CHUNK);
    this.#seat = sitUntil(this.#seat, this.#clock.ms);
    for (const { at, what } of kills) if (at >= from && at < this.#clock.now) page.kill(what);
    const heard = this.#room.microphone(from, CHUNK);
    if (!page.isDead && !this.#isLost(from, page))
      page.hear(rate === SAMPLE_RATE ? heard : atRate(heard, from, rate), rate);
    await page.busy.settled();
    this.#watchTool(page);
    if (!page.isDead && this.#clock.now >= this.#speakingUntil) await this.#operate(page);
  }

  /** True in the middle of a gap, which the page is told of with the chunk that ends it. */
  #isLost(from: number, page: TubePage): boolean {
    const gap = this.#options.gaps?.find(({ at, ms }) => at < this.#clock.now && at + msToSamples(ms) > from);
    if (gap === undefined) return false;
    if (gap.at + msToSamples(gap.ms) <= this.#clock.now) page.lose(gap.ms);
    return true;
  }

  #watchTool(page: TubePage): void {
    const speaks = !page.isDead && page.isSpeaking;
    if (speaks) this.#toolSince ??= this.#clock.ms;
    else if (this.#toolSince !== undefined) {
      this.#toolSince = undefined;
      this.#toolSilent = this.#clock.ms;
    }
  }

  async #operate(page: TubePage): Promise<void> {
    const [operator, next] = act(
      this.#operator,
      {
        at: this.#clock.ms,
        tool: page.state,
        offset: page.offset,
        speakingSince: this.#toolSince,
        silentSince: this.#toolSilent,
        cab: page.cab ?? this.#seat.cab,
        cuesMove: page.cab !== undefined,
      },
      this.#options.pace,
    );
    this.#operator = operator;
    if (next.move !== undefined) this.#seat = moveHands(this.#seat, next.move, this.#clock.ms);
    if (next.say !== undefined) await this.#say(next.say, next, page);
  }

  async #say(text: string, { mark, again }: Act, page: TubePage): Promise<void> {
    const { samples, rate } = await this.#host.speak(text, this.#options.voice);
    const { onset, end } = speechEdges(samples, rate);
    const pressed = this.#options.pad?.(this.#said.length);
    const at = this.#clock.ms + (pressed?.before ?? 0);
    this.#room.say(samples, msToSamples(at - onset));
    const { belief } = this.#operator;
    const said: Said = {
      text,
      at,
      end: at + end - onset,
      step: belief?.start.plan.steps[belief.index]?.id ?? '',
      ...(mark === undefined ? {} : { mark }),
      again: again ?? false,
    };
    this.#said.push(said);
    this.#speakingUntil = msToSamples(said.end);
    if (pressed !== undefined) {
      page.talk(true);
      this.#clock.at(msToSamples(said.end + pressed.after), () => page.talk(false));
    }
    const rules = belief === undefined ? [] : listensFor(belief);
    const meaning = this.#language.parse(rules, text.replaceAll(',', ''), this.#start.rig.unit);
    this.#operator = spoke(this.#operator, said, meaning, page.offset);
  }

  async #openPage(database: string): Promise<TubePage> {
    const {
      host,
      settings = {},
      ears = ['own', 'embedded'],
      disk: trouble = {},
    } = { host: this.#host, ...this.#options };
    const disk = await diskStore(database);
    const page: TubePage = new TubePage({
      host,
      clock: this.#clock,
      room: this.#room,
      language: this.#language,
      ears,
      settings,
      signer: this.#signer,
      disk: (busy) => busy.watching(troubledDisk(disk, trouble, this.#written, () => page.die())),
      wall: () => this.#wall(),
      onAnswers: (answers) => {
        for (const answer of answers) this.#answers.push({ at: this.#clock.ms, answer });
      },
      onVoice: (now) => this.#voice(now),
      onTrouble: (line) => this.#troubles.push(line),
    });
    return page;
  }

  #voice(now: Sounding | undefined): void {
    const last = this.#spoken.at(-1);
    if (last?.end === Infinity) this.#spoken.splice(-1, 1, { ...last, end: this.#clock.ms });
    if (now !== undefined) this.#spoken.push({ words: now.phrases.join(' '), at: this.#clock.ms, end: Infinity });
  }

  #wall(): string {
    return new Date(WALL + Math.floor(this.#clock.ms)).toISOString();
  }
}

/** Samples of 16 kHz from sample `from` on, as a microphone of another rate gives them: between two samples on a straight line. */
function atRate(samples: Float32Array, from: number, rate: number): Float32Array {
  const step = SAMPLE_RATE / rate;
  const first = Math.ceil(from / step);
  const after = Math.ceil((from + samples.length) / step);
  return Float32Array.from({ length: after - first }, (_, i) => {
    const place = (first + i) * step - from;
    const whole = Math.floor(place);
    const here = samples[whole] ?? 0;
    const next = samples[whole + 1] ?? here;
    return here + (next - here) * (place - whole);
  });
}
