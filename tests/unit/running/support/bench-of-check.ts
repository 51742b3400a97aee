import type { Answer } from '../../../../src/check/answer.ts';
import type { CheckEvent, StartEvent } from '../../../../src/check/event.ts';
import type { Whose } from '../../../../src/hearing/own-voice/own-voice.ts';
import type { Heard } from '../../../../src/hearing/port.ts';
import { memoryStore } from '../../../../src/record/memory-store.ts';
import type { CheckHead } from '../../../../src/record/record-store.ts';
import type { EarEvents } from '../../../../src/running/ear.ts';
import { languageOf } from '../../../../src/running/language.ts';
import { LiveCheck, type LiveParts, type Speech } from '../../../../src/running/live-check.ts';
import { DEFAULT_SETTINGS } from '../../../../src/running/settings.ts';
import { loadGrammar } from '../../../support/grammar.ts';

const LANGUAGE = languageOf(loadGrammar());
const WALL = Date.parse('2026-05-04T07:30:00Z');

/** What its parts tell a live check, by hand, and what it makes of them. The ear is only its listener, the voice only its words. */
export class BenchOfCheck {
  readonly live: LiveCheck;
  readonly stored: CheckEvent[] = [];
  readonly closed: CheckHead[] = [];
  readonly clips: string[] = [];
  readonly spoken: Answer[] = [];
  /** What was asked of the ear and the voice, in order. */
  readonly asked: string[] = [];
  readonly notices: string[] = [];
  full = false;
  /** Whose sound all is that is heard; undefined for the operator's. */
  whose: Readonly<Record<Whose, number>> | undefined;
  /** Ms of the steady clock; the time of day goes with it, and further by `dayAhead`. */
  steady = 0;
  dayAhead = 0;
  speech: Speech;
  #ear: EarEvents | undefined;
  #ticks = new Set<() => void>();

  constructor(start: StartEvent, earlier: readonly CheckEvent[] = [], more: Partial<LiveParts> = {}) {
    this.speech = {
      speak: (answers) => this.spoken.push(...answers),
      sound: (name) => this.asked.push(name),
      operator: (speaks, pressed) =>
        this.asked.push(speaks ? (pressed === true ? 'pressed' : 'operator speaks') : 'operator is silent'),
      pass: () => undefined,
      cancel: () => this.asked.push('silence'),
      onSpeaking: undefined,
      caption: ({ type }) => (type === 'noted' ? '' : type),
    };
    const store = memoryStore();
    const parts: LiveParts = {
      id: 'check-1',
      store: {
        ...store,
        append: (check, index, event) => {
          if (this.full) return Promise.reject(new Error('another tab writes it'));
          this.stored.push(event);
          return store.append(check, index, event);
        },
        close: (head) => {
          this.closed.push(head);
          return store.close(head);
        },
        keepClip: (clip) => {
          this.clips.push(`${clip.id} of ${clip.check}, ${String(clip.wav.size)} bytes`);
          return store.keepClip(clip);
        },
      },
      ear: {
        open: (listener) => {
          this.#ear = listener;
          return Promise.resolve();
        },
        retry: () => {
          this.asked.push('retry');
          return Promise.resolve();
        },
        listenFor: () => undefined,
        ownVoice: (now) => this.asked.push(now === undefined ? 'own silence' : 'own voice'),
        whose: () => this.whose,
        talk: (down) => this.asked.push(down ? 'talk' : 'hush'),
        close: () => {
          this.asked.push('close');
          return Promise.resolve();
        },
      },
      speech: this.speech,
      language: LANGUAGE,
      settings: () => DEFAULT_SETTINGS,
      steady: () => this.steady,
      wall: () => new Date(WALL + this.steady + this.dayAhead).toISOString(),
      every: (_ms, tick) => {
        this.#ticks.add(tick);
        return () => this.#ticks.delete(tick);
      },
      wav: (clip) => new Blob([new Uint8Array(clip.length)]),
      onChange: () => undefined,
      notices: () => this.notices,
      ...more,
    };
    const live = earlier.length === 0 ? LiveCheck.begin(parts, start) : LiveCheck.resume(parts, earlier);
    if (live === undefined) throw new Error('no start');
    this.live = live;
  }

  get ear(): EarEvents {
    if (this.#ear === undefined) throw new Error('the ear was not opened');
    return this.#ear;
  }

  /** What is under way is kept, answered and shown. */
  async settle(): Promise<this> {
    await new Promise((done) => setImmediate(done));
    return this;
  }

  async open(): Promise<this> {
    await this.live.open();
    return this.settle();
  }

  /** The clocks go on, and every ticker ticks once at the end. */
  async pass(ms: number): Promise<void> {
    this.steady += ms;
    for (const tick of [...this.#ticks]) tick();
    await this.settle();
  }

  get isTicking(): boolean {
    return this.#ticks.size > 0;
  }

  /** The ear heard words that ended now and took a second. */
  async say(text: string, more: Partial<Heard> = {}): Promise<void> {
    await this.ear.heard({
      ...{ engine: 'vosk', words: [], text, start: this.steady - 1000, end: this.steady, confidence: 0.9 },
      ...{ rejected: false, clip: new Float32Array(0), ...more },
    });
    await this.settle();
  }

  /** An ear that begins now. */
  async listen(): Promise<void> {
    this.ear.tied?.(this.steady, this.steady);
    this.ear.state('listening', 'Heard by the test ear.');
    await this.ear.progress(this.steady);
  }

  /** Types of the events that are kept, after the start. */
  get kept(): string[] {
    return this.stored.slice(1).map((event) => ('why' in event ? `${event.type}: ${event.why}` : event.type));
  }
}
