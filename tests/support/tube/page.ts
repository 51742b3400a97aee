import { embeddedSpeaker } from '../../../src/answering/embedded-speaker.ts';
import { TOOL_VOICE } from '../../../src/answering/flite.ts';
import { createVoice, type Sounding } from '../../../src/answering/voice.ts';
import type { Answer } from '../../../src/check/answer.ts';
import type { CheckEvent, StartEvent } from '../../../src/check/event.ts';
import type { CheckState } from '../../../src/check/state.ts';
import { createHearing } from '../../../src/hearing/hearing.ts';
import type { MicrophoneEvents } from '../../../src/hearing/microphone-port.ts';
import { writeWav } from '../../../src/hearing/wav.ts';
import { chainedStore, type ChainedStore } from '../../../src/record/chained-store.ts';
import { keepingStore } from '../../../src/record/keeping-store.ts';
import type { EntryStore } from '../../../src/record/record-store.ts';
import type { Signer } from '../../../src/record/signer.ts';
import type { Cab } from '../../../src/rehearsal/cab.ts';
import type { RehearsalSetup } from '../../../src/rehearsal/rehearsal.ts';
import type { Language } from '../../../src/running/language.ts';
import { LiveCheck, type LiveParts } from '../../../src/running/live-check.ts';
import { LiveRehearsal, type Rehearsed } from '../../../src/running/live-rehearsal.ts';
import { microphoneEar } from '../../../src/running/microphone-ear.ts';
import { speechOver } from '../../../src/running/speech-over.ts';
import { DEFAULT_SETTINGS, type Settings } from '../../../src/running/settings.ts';
import { SAMPLE_RATE, samplesToMs, type Ms } from '../../../src/units/time.ts';
import { Busy } from './busy.ts';
import type { TubeEar, TubeHost } from './host.ts';
import { loudspeaker } from './loudspeaker.ts';
import type { Room } from './room.ts';
import type { SampleClock } from './sample-clock.ts';
import { tubeWorker, type TubeWorker } from './tube-worker.ts';

/** No time of the real clock ends anything in a tube. */
const FOR_EVER = 1e9;

export interface PageParts {
  readonly host: TubeHost;
  readonly clock: SampleClock;
  readonly room: Room;
  readonly language: Language;
  readonly ears: readonly TubeEar[];
  readonly settings: Partial<Settings>;
  readonly signer: Signer;
  readonly disk: (busy: Busy) => EntryStore;
  /** ISO 8601, now. */
  readonly wall: () => string;
  /** Every answer the check gives, spoken or not. */
  readonly onAnswers: (answers: readonly Answer[]) => void;
  /** The voice begins to sound, or has fallen silent. */
  readonly onVoice: (now: Sounding | undefined) => void;
  /** Every line that the page shows as trouble. */
  readonly onTrouble: (line: string) => void;
}

/** The app in one page, wired as `src/app.ts` wires it, but for microphone, loudspeaker and clocks. */
export class TubePage {
  readonly busy = new Busy();
  readonly store: ChainedStore;
  readonly #parts: PageParts;
  readonly #openedAt: number;
  readonly #timers: (() => void)[] = [];
  readonly #workers: TubeWorker[] = [];
  readonly #engines: (() => void)[] = [];
  #microphone: MicrophoneEvents | undefined;
  #live: LiveCheck | LiveRehearsal | undefined;
  #dead = false;

  constructor(parts: PageParts) {
    this.#parts = parts;
    this.#openedAt = parts.clock.now;
    const disk = keepingStore(parts.disk(this.busy), (notice) => parts.onTrouble(notice));
    this.store = this.busy.watching(chainedStore(disk, parts.signer, parts.wall, 'Two Needles in a test tube'));
  }

  get isDead(): boolean {
    return this.#dead;
  }

  get state(): CheckState | undefined {
    return this.#live?.state;
  }

  get isSpeaking(): boolean {
    return this.#live?.live.speaking ?? false;
  }

  /** Time of the tube minus time of the check. */
  get offset(): Ms {
    return Math.round(this.#parts.clock.ms - (this.#live?.now() ?? 0));
  }

  /** The simulated cab of a rehearsal. */
  get cab(): Cab | undefined {
    return this.#live instanceof LiveRehearsal ? this.#live.inCab.value.cab : undefined;
  }

  /** What is left of a rehearsal that is over. */
  get rehearsed(): Rehearsed | undefined {
    return this.#live instanceof LiveRehearsal ? this.#live.over : undefined;
  }

  async begin(id: string, start: StartEvent): Promise<void> {
    await this.#open(LiveCheck.begin(this.#liveParts(id), start));
  }

  /** A rehearsal, in which words move the controls. */
  async rehearse(setup: RehearsalSetup): Promise<void> {
    await this.#open(new LiveRehearsal(this.#liveParts('rehearsal'), setup, true));
  }

  /** Takes up the check as the start screen does. */
  async resume(id: string): Promise<void> {
    const events: readonly CheckEvent[] = await this.store.events(id);
    const live = LiveCheck.resume(this.#liveParts(id), events);
    if (live === undefined) throw new Error(`check ${id} has no start on the disk`);
    await this.#open(live);
  }

  /** The next samples of the microphone, 16 kHz, given at `rate`. */
  hear(samples: Float32Array, rate: number): void {
    this.#microphone?.sound(samples, rate, this.#steady() - (samples.length * 1000) / rate);
  }

  /** The pad is pressed, or let go of. */
  talk(down: boolean): void {
    this.#live?.act({ do: 'talk', down }, 'touch');
  }

  /** Sound was lost for so long. */
  lose(ms: Ms): void {
    this.#microphone?.gap(ms);
  }

  /** Ends the newest hearing worker, or the engine under it, as the system would. */
  kill(what: 'hearing' | 'engine'): void {
    if (what === 'engine') this.#engines.at(-1)?.();
    else this.#workers.at(-1)?.die('killed by the test');
  }

  /** Ends the page where it stands: nothing more of it happens. */
  die(): void {
    this.#dead = true;
    for (const stop of this.#timers) stop();
    for (const worker of this.#workers) worker.terminate();
    this.#microphone = undefined;
    this.busy.abandon();
  }

  /** Leaves the check as an operator does. */
  async close(): Promise<void> {
    await this.#live?.close();
    await this.busy.settled();
    this.die();
  }

  async #open(live: LiveCheck | LiveRehearsal): Promise<void> {
    this.#live = live;
    await Promise.race([live.open(), this.busy.dead]);
    await this.busy.settled();
  }

  #steady(): Ms {
    return samplesToMs(this.#parts.clock.now - this.#openedAt);
  }

  #liveParts(id: string): LiveParts {
    const { host, clock, room, language, settings: changed, wall, onAnswers, onVoice, onTrouble } = this.#parts;
    const settings = (): Settings => ({ ...DEFAULT_SETTINGS, ...changed });
    const voice = createVoice([
      embeddedSpeaker(
        this.busy.watching({
          loadPack: () => host.voicePack(),
          synthesise: (phrase: string) => host.speak(phrase, TOOL_VOICE),
        }),
        loudspeaker(room, clock),
      ),
    ]);
    const speech = speechOver(voice, settings, () => this.#steady());
    return {
      id,
      ear: microphoneEar({
        microphone: (events) => {
          this.#microphone = events;
          queueMicrotask(() => events.state('listening'));
          return { retry: () => Promise.resolve(), stop: () => (this.#microphone = undefined) };
        },
        engines: () => Promise.resolve(this.#parts.ears.map((ear) => this.#earEngine(ear))),
        pushToTalk: () => settings().pushToTalk,
        headset: () => settings().headset,
        steady: () => this.#steady(),
      }),
      store: this.store,
      language,
      speech: {
        speak: (answers) => {
          onAnswers(answers);
          speech.speak(answers);
        },
        sound: (name) => speech.sound(name),
        operator: (speaks, pressed) => speech.operator(speaks, pressed),
        pass: (due) => speech.pass(due),
        cancel: () => speech.cancel(),
        caption: (answer) => speech.caption(answer),
        get onSpeaking() {
          return speech.onSpeaking;
        },
        set onSpeaking(listener) {
          speech.onSpeaking = (now) => {
            onVoice(now);
            listener?.(now);
          };
        },
      },
      settings,
      steady: () => this.#steady(),
      wall,
      every: (ms, tick) => {
        const stop = clock.every(ms, tick);
        this.#timers.push(stop);
        return stop;
      },
      wav: (clip) => new Blob([writeWav(clip, SAMPLE_RATE)], { type: 'audio/wav' }),
      onChange: () => {
        for (const line of this.#live?.live.notices ?? []) onTrouble(line);
      },
      notices: () => [],
    };
  }

  #earEngine(ear: TubeEar) {
    const { host, onTrouble } = this.#parts;
    return {
      id: ear === 'own' ? 'vosk' : 'embedded',
      name: ear === 'own' ? 'the Two Needles ear' : 'the embedded ear',
      hearing: (events: Parameters<typeof createHearing>[1]) =>
        createHearing(
          {
            spawn: () => {
              const worker = tubeWorker(
                (_model, restarted) => host.engine(ear, (kill) => this.#engines.push(kill), restarted),
                this.busy,
              );
              this.#workers.push(worker);
              return worker;
            },
            model: '',
            live: true,
            patienceMs: FOR_EVER,
            ...(ear === 'own' ? { mostRestarts: 1 } : {}),
          },
          {
            ...events,
            problem: (problem) => {
              onTrouble(problem.what);
              events.problem(problem);
            },
          },
        ),
    } as const;
  }
}
