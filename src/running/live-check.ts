import type { ToneName } from '../answering/tones.ts';
import { isQuestion } from '../answering/turn-taking.ts';
import type { Sounding } from '../answering/voice.ts';
import { textOf } from '../answering/wording.ts';
import type { Answer } from '../check/answer.ts';
import type { CalloutEvent, CheckEvent, SoundEvent, StartEvent } from '../check/event.ts';
import { dueNow } from '../check/due.ts';
import { listensFor } from '../check/listens-for.ts';
import { CheckSession } from './check-session.ts';
import type { SessionPorts } from './check-session.ts';
import type { CheckState } from '../check/state.ts';
import { view } from '../check/view.ts';
import type { Heard } from '../hearing/port.ts';
import type { RecordStore } from '../record/record-store.ts';
import { problemLine } from '../units/outcome.ts';
import { without } from '../units/without.ts';
import type { Clock } from '../units/clock.ts';
import type { Ms } from '../units/time.ts';
import type { Settings } from './settings.ts';
import { calloutOf } from './callout-of.ts';
import { CheckClock } from './check-clock.ts';
import { CheckPhotos } from './check-photos.ts';
import type { Action, Beat, Caption, CheckModel, LiveState } from './check-model.ts';
import { checkModel } from './check-model-of.ts';
import type { Ear, LostReason } from './ear.ts';
import { headOf } from './head-of.ts';
import type { Language } from './language.ts';
import { actionText, meaningOfAction, takenText } from './said.ts';
import { Pulse } from './pulse.ts';
import { SilentMicrophone } from './silent-microphone.ts';
import { SleepWatch } from './sleep-watch.ts';
import { whoSaid } from './own-words.ts';
import { doubted } from './doubted.ts';

/** What speaks the answers; see `answering/`. Captions are shown whether or not it does. */
export interface Speech {
  speak(answers: readonly Answer[]): void;
  /** A tone by itself. */
  sound(name: ToneName): void;
  /** The operator begins, or has ended, to speak; or `pressed` the pad for it. */
  operator(speaks: boolean, pressed?: boolean): void;
  /** Time has passed, and this is what the operator alone keeps waiting for; the same object as long as it is the same. */
  pass(due?: Answer): void;
  /** Falls silent, and says nothing more of what there was to say. */
  cancel(): void;
  onSpeaking: ((now: Sounding | undefined) => void) | undefined;
  /** Called with what is wrong with the voice, in a line, and with undefined when it is heard again. */
  onTrouble?: ((line: string | undefined) => void) | undefined;
  /** The words of an answer, for the caption; empty when nothing is said. */
  caption(answer: Answer): string;
}

export interface LiveParts extends Clock {
  readonly id: string;
  readonly ear: Ear;
  readonly speech: Speech;
  readonly store: RecordStore;
  readonly language: Language;
  readonly settings: () => Settings;
  /** The operator wants to be heard all the time, or only while the pad is pressed. */
  readonly listen?: (pushToTalk: boolean) => void;
  /** Resolves when a sound that was asked for has begun, so that nothing is made ready before it. Default: nothing is waited for. */
  readonly begun?: () => Promise<void>;
  /** Turns an utterance into something that can be kept. */
  readonly wav: (clip: Float32Array) => Blob;
  /** What the screen shows has changed, besides what beats in its pulse. */
  readonly onChange: () => void;
  /** Sentences for the operator that are not of this check, storage troubles for example; see `noticed`. */
  readonly notices: () => readonly string[];
  /** What is submitted for a callout, in a rehearsal; the callout itself when absent. */
  readonly takes?: (callout: CalloutEvent, state: CheckState) => Taking;
}

/** What becomes of a callout before the check has it. */
export interface Taking {
  readonly events: readonly CalloutEvent[];
  /** Shown as heard, when the check itself hears nothing of it. */
  readonly caption?: Caption;
}

/** The tool in an examination: neither voice, nor tone, nor caption. */
const SILENT: Speech = {
  speak: () => undefined,
  sound: () => undefined,
  operator: () => undefined,
  pass: () => undefined,
  cancel: () => undefined,
  onSpeaking: undefined,
  caption: () => '',
};

const TICK_MS = 100;
/** Words that are heard so soon after the tool's may be its own: room, loudspeaker, Bluetooth. And where its voice is found in the sound of them. */
const TAIL_MS: Ms = 600;
const LATE_MS: Ms = 4_000;
/** Sound of which it is known whether the tool's own voice is in it. */
const HEARD_MS: Ms = 500;
/** Two sounds of a kind within it are one. */
const MARK_APART_MS = 2000;

/**
 * A check that is being done: joins ear, machine, voice and record, and holds what the Check screen shows.
 * Everything that happens becomes an event, is kept, and only then answered.
 */
export class LiveCheck {
  readonly start: StartEvent;
  readonly #parts: LiveParts;
  /** With the items of the plan in it. */
  readonly #language: Language;
  readonly #clock: CheckClock;
  /** What the tool said last, and until when. */
  #sounded: readonly { readonly text: string; readonly from: Ms; readonly to: Ms }[] = [];
  /** When the last question was there, and when it could be heard. */
  #asking: { readonly since: Ms; readonly sounds?: Ms } | undefined;
  readonly #sleep = new SleepWatch();
  readonly #pulse: Pulse<Beat>;
  readonly #photos: CheckPhotos;
  #session: CheckSession | undefined;
  readonly #earlier: readonly CheckEvent[];
  #kept: number;
  #model: CheckModel | undefined;
  #state: CheckState | undefined;
  #rules: readonly string[] = [];
  #live: LiveState;
  #stopTicking: () => void = () => undefined;
  #clips = 0;
  #lost = false;
  #due: ReturnType<typeof dueNow>;
  /** The event under way has been answered. */
  #answered = false;
  #closed = false;
  #problem: readonly string[] = [];
  /** What is wrong with voice and microphone now, in a line each. */
  #troubles: { readonly voice?: string | undefined; readonly microphone?: string | undefined } = {};
  readonly #silentMicrophone = new SilentMicrophone();
  #marked: Partial<Record<SoundEvent['kind'], number>> = {};

  /** A new check. Its start is kept when `open` is called. */
  static begin(parts: LiveParts, start: StartEvent): LiveCheck {
    return new LiveCheck(parts, start, []);
  }

  /** Goes on with a check that was cut off; undefined when its log has no start. */
  static resume(parts: LiveParts, events: readonly CheckEvent[]): LiveCheck | undefined {
    const start = events[0];
    return start?.type === 'start' ? new LiveCheck(parts, start, events) : undefined;
  }

  private constructor(parts: LiveParts, start: StartEvent, earlier: readonly CheckEvent[]) {
    this.start = start;
    this.#parts = start.settings?.examination === true ? { ...parts, speech: SILENT } : parts;
    this.#language = parts.language.of(start.plan);
    this.#earlier = earlier;
    this.#kept = earlier.length;
    // Not from where the last words began: a callout of the new page would lie within them.
    const from = earlier.reduce((latest, event) => Math.max(latest, 'end' in event ? event.end : event.at), 0);
    this.#clock = new CheckClock(parts.steady, from);
    this.#pulse = new Pulse({ now: from });
    this.#photos = new CheckPhotos(
      {
        check: parts.id,
        store: parts.store,
        wall: parts.wall,
        now: () => this.#clock.read(),
        isOver: () => this.#closed || this.#state === undefined || this.#state.phase === 'done',
        keep: async (event) => this.#session?.submit(event),
        onChange: (photos) => this.#show({ photos }),
      },
      earlier,
    );
    const { pushToTalk, talkKey, keys } = parts.settings();
    this.#live = {
      pulse: this.#pulse,
      ear: 'off',
      earLine: '',
      spoken: [],
      speaking: false,
      talking: false,
      pushToTalk,
      talkKey,
      keys,
      notices: parts.notices(),
      examiner: earlier.filter((event) => event.type === 'examiner'),
      photos: this.#photos.model,
    };
  }

  /** What the Check screen shows; undefined until the start is kept. */
  get model(): CheckModel | undefined {
    return this.#model;
  }

  get live(): LiveState {
    return this.#live;
  }

  /** Undefined until the start is kept. */
  get state(): CheckState | undefined {
    return this.#state;
  }

  /** The time now on the clock of the check, in ms. */
  now(): Ms {
    return this.#clock.read();
  }

  /** Says what no event gave rise to. */
  say(answers: readonly Answer[]): void {
    this.#say(answers);
  }

  /** Keeps the start (or the interruption and the resumption), gives the first brief, and opens the ear. */
  async open(): Promise<void> {
    const { store, id, wall, speech, ear, every } = this.#parts;
    speech.onSpeaking = (now) => {
      this.#sounds(now);
      ear.ownVoice?.(now);
      this.#show({ speaking: now !== undefined });
    };
    speech.onTrouble = (line) => this.#trouble({ voice: line });
    if (this.#earlier.length === 0) {
      await store.begin(headOf(id, this.start, undefined));
      this.#session = await CheckSession.begin(this.start, this.#ports());
    } else {
      this.#session = CheckSession.resume(this.#earlier, this.#ports());
      const at = this.#clock.read();
      await this.#session.submit({ type: 'interrupted', at, why: 'page-closed' });
      await this.#session.submit({ type: 'resumed', at, wall: wall() });
    }
    // Without an ear the steady clock drives the holds; with one, its samples do.
    this.#stopTicking = every(TICK_MS, () => {
      const now = this.#clock.read();
      this.#watchSleep();
      if (!this.#clock.following) void this.#session?.tick(now);
      this.#pulse.beat({ ...this.#pulse.value, now });
      speech.pass(this.#due);
    });
    await ear.open({
      heard: (heard) => this.#heard(heard),
      tied: (at, steady) => this.#clock.tie(at, steady),
      progress: async (at) => this.#session?.tick(this.#clock.follow(at)),
      level: (sound, at) => {
        this.#pulse.beat({ now: this.#clock.read(), sound });
        this.#watchMicrophone(sound.level, at);
        for (const { kind, ago } of sound.cabSounds ?? []) this.#marks(kind, this.#clock.ofEar(at - ago));
      },
      state: (state, line, lost) => this.#earIs(state, line, lost),
      restarted: (engine) => void this.#session?.submit({ type: 'engine-restarted', at: this.#clock.read(), engine }),
      end: () => void this.#session?.submit({ type: 'end', at: this.#clock.read() }),
      operator: (speaks) => speech.operator(speaks),
    });
  }

  #ports(): SessionPorts {
    const { store, id, begun } = this.#parts;
    return {
      ...(begun === undefined ? {} : { begun }),
      events: {
        append: async (event) => {
          await store.append(id, this.#kept, event);
          this.#kept += 1;
        },
      },
      answers: { say: (answers) => this.#say(answers) },
      onState: (state) => this.#moved(state),
      onProblem: (problem) => {
        this.#problem = [problemLine(problem)];
        this.noticed();
      },
    };
  }

  /** What was done by touch or key counts as if it had been said. */
  act(action: Action, source: 'touch' | 'key'): void {
    switch (action.do) {
      case 'talk':
        this.#talk(action.down);
        return;
      case 'microphone':
        void this.#parts.ear.retry();
        return;
      case 'leave':
        return;
      case 'examiner':
        void this.#examiner(action);
        return;
      case 'photo':
      case 'photo-back':
        void this.#photos.act(action);
        return;
      case 'cue':
      case 'reading':
      case 'items':
      case 'move':
      case 'note':
      case 'command': {
        const meaning = meaningOfAction(action);
        const now = this.#clock.read();
        const at = action.do === 'reading' ? this.#clock.ago(action.took) : now;
        void this.#call({
          type: 'callout',
          at,
          end: now,
          heard: actionText(action),
          confidence: 1,
          source,
          ...(meaning === undefined ? {} : { meaning }),
        });
      }
    }
  }

  /** What the examiner puts down is shown once it is kept. */
  async #examiner({ put }: Extract<Action, { do: 'examiner' }>): Promise<void> {
    const event = { type: 'examiner' as const, at: this.#clock.read(), ...put };
    await this.#session?.submit(event);
    this.#show({ examiner: [...this.#live.examiner, event] });
  }

  /** The notices of the parts have changed. */
  noticed(): void {
    const { voice, microphone } = this.#troubles;
    const troubles = [voice, microphone].filter((line) => line !== undefined);
    this.#show({ notices: [...this.#parts.notices(), ...this.#problem, ...troubles] });
  }

  #trouble(change: { readonly voice?: string | undefined; readonly microphone?: string | undefined }): void {
    this.#troubles = { ...this.#troubles, ...change };
    this.noticed();
  }

  #watchMicrophone(level: number, at: Ms): void {
    // Outside a press there is silence in the place of the sound.
    if (this.#parts.settings().pushToTalk) return;
    const speaks = this.#live.speaking;
    const heard = speaks && (this.#parts.ear.whose?.(at - HEARD_MS, at)?.own ?? 0) > 0;
    const line = this.#silentMicrophone.next(level, at, { speaks, heard });
    if (line !== this.#troubles.microphone) this.#trouble({ microphone: line });
  }

  /** Lets go of ear and voice. What was called is kept already. */
  async close(): Promise<void> {
    this.#closed = true;
    this.#stopTicking();
    this.#parts.speech.onSpeaking = undefined;
    this.#parts.speech.onTrouble = undefined;
    this.#parts.speech.cancel();
    await this.#parts.ear.close();
  }

  async #heard(heard: Heard): Promise<void> {
    const { ear, speech } = this.#parts;
    const [start, end] = [this.#clock.ofEar(heard.start), this.#clock.ofEar(heard.end)];
    const noting = this.#state?.phase === 'noting';
    const callout = calloutOf(
      { ...heard, start, end, source: 'voice' },
      this.#rules,
      this.start.rig.unit,
      this.#language,
    );
    const parts = ear.whose?.(heard.start, heard.end, heard.clip);
    const said = this.#saidIn(start, end);
    const who = whoSaid(heard.text, parts, said, this.#saidIn(start - LATE_MS, end));
    if (who === 'own') return;
    // A voice whose sound nobody knows is cut off by words alone.
    if (heard.text !== '' && this.#live.speaking) this.#cutOff();
    const heardAs = this.#isTooSoon(callout) ? without(callout, 'meaning') : callout;
    const weighed = who === 'operator' ? heardAs : doubted(heardAs, this.#state);
    if (weighed === undefined) {
      if (heard.text === '') return;
      speech.sound('not-taken');
      this.#show({ heard: { words: heard.text, taken: 'heard while the tool spoke: say it again', used: false } });
      return;
    }
    // Talk that is not for us is no event, unless the operator is dictating a note.
    if (heard.text === '' && !noting) return;
    const clip = this.#keepClip(heard.clip);
    await this.#call(clip === undefined ? weighed : { ...weighed, clip });
  }

  #sounds(now: Sounding | undefined): void {
    const at = this.#clock.read();
    if (now?.asks === true && this.#asking !== undefined && this.#asking.sounds === undefined)
      this.#asking = { ...this.#asking, sounds: at + now.inMs };
    const over = this.#sounded.map((each) => (each.to === Infinity ? { ...each, to: at } : each));
    this.#sounded =
      now === undefined ? over : [...over.slice(-7), { text: textOf(now.phrases), from: at + now.inMs, to: Infinity }];
  }

  /** "Yes" or "no" that was begun before the question it would answer was there: it was said to somebody else. */
  #isTooSoon({ at, meaning }: CalloutEvent): boolean {
    const asking = this.#asking;
    const isAnswer = meaning?.command === 'yes' || meaning?.command === 'no';
    if (!isAnswer || meaning.cues.length > 0 || (meaning.reading ?? meaning.number) !== undefined) return false;
    if (asking === undefined) return false;
    // It waits until something else is said.
    if (asking.sounds === undefined && this.#live.speaking) return true;
    return at < (asking.sounds ?? asking.since);
  }

  /** What the tool said while words were heard. */
  #saidIn(start: Ms, end: Ms): readonly string[] {
    return this.#sounded.flatMap(({ text, from, to }) => (start < to + TAIL_MS && end > from ? [text] : []));
  }

  #cutOff(): void {
    this.#parts.speech.operator(true);
    this.#parts.speech.operator(false);
  }

  /** A proposal of the sound alone: kept as a mark, and nothing else. A restarted ear may hear it twice. */
  #marks(kind: SoundEvent['kind'], at: number): void {
    if (at - (this.#marked[kind] ?? -Infinity) < MARK_APART_MS) return;
    this.#marked = { ...this.#marked, [kind]: at };
    void this.#session?.submit({ type: 'sound', at: Math.max(0, Math.round(at)), kind });
  }

  /** The sound is kept beside the log, without holding up the answer. */
  #keepClip(sound: Float32Array): string | undefined {
    const { store, id, wav } = this.#parts;
    if (sound.length === 0) return undefined;
    const clip = `${id}-${this.#kept}-${(this.#clips += 1)}`;
    void store.keepClip({ id: clip, check: id, kept: Date.parse(this.#parts.wall()), wav: wav(sound) });
    return clip;
  }

  async #call(event: CalloutEvent): Promise<void> {
    if (this.#closed || this.#session === undefined) return;
    const { takes } = this.#parts;
    const { events, caption } = takes?.(event, this.#session.state) ?? { events: [event] };
    if (caption !== undefined) this.#show({ heard: caption });
    for (const each of events) await this.#session.submit(each);
  }

  #say(answers: readonly Answer[]): void {
    const { speech, listen } = this.#parts;
    for (const answer of answers) if (answer.type === 'listens') listen?.(answer.how === 'when-pressed');
    const spoken = answers.map((answer) => speech.caption(answer)).filter((words) => words !== '');
    this.#answered = true;
    if (answers.some(isQuestion) && this.#parts.settings().voice) this.#asking = { since: this.#clock.read() };
    if (spoken.length > 0) this.#show({ spoken });
    if (!this.#closed) speech.speak(answers);
  }

  #moved(state: CheckState): void {
    const { ear, store, id } = this.#parts;
    const fresh = state.callouts.length > (this.#state?.callouts.length ?? 0) ? state.callouts.at(-1) : undefined;
    const before = this.#state;
    this.#state = state;
    const due = dueNow(state);
    if (JSON.stringify(due) !== JSON.stringify(this.#due)) this.#due = due;
    this.#rules = listensFor(state);
    ear.listenFor(this.#language.ruleset(this.#rules, this.start.rig.unit));
    const shown = view(state);
    this.#model = checkModel(shown, this.start, this.#language);
    const asked =
      (shown.whose !== undefined && state.whose?.callout === state.callouts.length - 1) ||
      (fresh?.meaning?.reading !== undefined && (shown.question !== undefined || shown.missingCircuit !== undefined));
    const heard: Caption | undefined = fresh && {
      words: fresh.heard === '' ? '(speech)' : fresh.heard,
      taken: takenText(fresh, asked),
      used: fresh.taken || asked,
    };
    this.#show(heard === undefined ? {} : { heard });
    // Now, so that the rules are ready when something is heard by them.
    this.#language.parse(this.#rules, this.#model.sayable[0] ?? '', this.start.rig.unit);
    if (fresh !== undefined && fresh.source === 'voice' && heard?.used === false && !this.#answered)
      this.#parts.speech.sound('not-taken');
    this.#answered = false;
    if (shown.phase === 'done' && before?.phase !== 'done') {
      void store.close(headOf(id, this.start, shown, this.#photos.model.taken));
      this.#stopTicking();
      void ear.close();
    }
  }

  #watchSleep(): void {
    const { steady, wall } = this.#parts;
    if (this.#sleep.next(steady(), Date.parse(wall()))) this.#interrupted('slept');
  }

  /** A hold or window that was running is measured again. */
  #interrupted(why: LostReason | 'slept'): void {
    void this.#session?.submit({ type: 'interrupted', at: this.#clock.read(), why });
  }

  #earIs(ear: LiveState['ear'], earLine: string, lost: LostReason | undefined): void {
    if (lost === 'sound-lost') {
      this.#interrupted(lost);
    } else if (lost !== undefined) {
      this.#clock.letGo();
      this.#lost = true;
      this.#interrupted(lost);
    } else if ((ear === 'listening' || ear === 'waiting') && this.#lost) {
      this.#lost = false;
      void this.#session?.submit({ type: 'resumed', at: this.#clock.read(), wall: this.#parts.wall() });
    } else if (ear === 'unavailable') {
      this.#clock.letGo();
    }
    this.#show({ ear, earLine });
  }

  #talk(down: boolean): void {
    this.#parts.speech.operator(down, true);
    this.#parts.ear.talk(down);
    this.#show({ talking: down });
  }

  #show(change: Partial<LiveState>): void {
    const { pushToTalk, talkKey, keys } = this.#parts.settings();
    this.#live = { ...this.#live, ...change, pushToTalk, talkKey, keys };
    this.#parts.onChange();
  }
}
