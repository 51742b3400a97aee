import { SILENT_SPEECH } from '../../../support/silent-speech.ts';
import type { CheckEvent, StartEvent } from '../../../../src/check/event.ts';
import { deviceSound, type DeviceSound } from '../../../../src/hearing/device-sound.ts';
import type { HearingEvents } from '../../../../src/hearing/hearing.ts';
import { memoryStore } from '../../../../src/record/memory-store.ts';
import { languageOf } from '../../../../src/running/language.ts';
import { LiveCheck, type LiveParts } from '../../../../src/running/live-check.ts';
import { microphoneEar } from '../../../../src/running/microphone-ear.ts';
import { DEFAULT_SETTINGS } from '../../../../src/running/settings.ts';
import { loadGrammar } from '../../../support/grammar.ts';

const RATE = 16_000;
const CHUNK_MS = 100;
const LANGUAGE = languageOf(loadGrammar());

/**
 * A live check over the ear of a microphone, in a world whose true time the test moves: the device counts frames, the
 * steady clock and the time of day each go as the device makes them go. Recognition is perfect and takes no time.
 */
export class CabInTime {
  readonly live: LiveCheck;
  readonly events: { readonly type: string; readonly why?: string; readonly at: number }[] = [];
  #steady = 5000;
  #wall = Date.parse('2026-05-04T07:30:00Z');
  #frames = 0;
  #device: DeviceSound | undefined;
  #hearing: HearingEvents | undefined;
  /** Sound worked through by the recogniser, and until where it told so, in its own ms. */
  #heardMs = 0;
  #toldMs = 0;
  #work: Promise<void> = Promise.resolve();
  readonly #ticks = new Set<() => void>();

  /** `earlier`: what a page that was closed had kept after the start; the check goes on with it. */
  constructor(
    start: StartEvent,
    { ear = true, earlier = [] }: { ear?: boolean; earlier?: readonly CheckEvent[] } = {},
  ) {
    const store = memoryStore();
    const parts: LiveParts = {
      id: 'check',
      store: {
        ...store,
        append: (check, seq, event) => {
          this.events.push(event);
          return store.append(check, seq, event);
        },
      },
      ear: microphoneEar({
        steady: () => this.#steady,
        pushToTalk: () => false,
        microphone: (events) => {
          if (ear) this.#device = deviceSound(RATE, events);
          return { retry: () => Promise.resolve(), stop: () => undefined };
        },
        engines: () => Promise.resolve([{ id: 'vosk', name: 'the test ear', hearing: (to) => this.#recogniser(to) }]),
      }),
      speech: SILENT_SPEECH,
      language: LANGUAGE,
      settings: () => DEFAULT_SETTINGS,
      steady: () => this.#steady,
      wall: () => new Date(this.#wall).toISOString(),
      every: (_ms, tick) => {
        this.#ticks.add(tick);
        return () => this.#ticks.delete(tick);
      },
      wav: () => new Blob(),
      onChange: () => undefined,
      notices: () => [],
    };
    const resumed = earlier.length === 0 ? undefined : LiveCheck.resume(parts, [start, ...earlier]);
    this.live = resumed ?? LiveCheck.begin(parts, start);
  }

  async open(): Promise<this> {
    await this.live.open();
    this.#device?.is({ running: true, muted: false });
    await this.pass(2000);
    return this;
  }

  /** True time passes, and the device works. */
  async pass(ms: number): Promise<void> {
    for (let left = ms; left > 0; left -= CHUNK_MS) await this.#passChunk();
  }

  /** Somebody says words for a second, and is silent for another. */
  async say(text: string): Promise<void> {
    const start = this.#heardMs;
    await this.pass(1000);
    const end = this.#heardMs;
    await this.#hearing?.heard({
      ...{ engine: 'vosk', words: [], text, start, end, confidence: 1, rejected: false, clip: new Float32Array(0) },
    });
    await this.pass(1000);
  }

  /** The time of day is set forward, or back. */
  setTimeOfDay(byMs: number): void {
    this.#wall += byMs;
  }

  /** The device sleeps: no frames, no ticks. `counts`: its steady clock goes on meanwhile, as on some systems. */
  sleep(ms: number, counts: boolean): void {
    this.#wall += ms;
    if (counts) this.#steady += ms;
  }

  /** The system mutes the microphone, which then gives silence, and unmutes it. */
  async mute(ms: number): Promise<void> {
    this.#device?.is({ running: true, muted: true });
    await this.pass(ms);
    this.#device?.is({ running: true, muted: false });
  }

  /** The page is too busy to take its messages, which then come all at once. */
  async beBusy(ms: number): Promise<void> {
    const late: number[] = [];
    for (let left = ms; left > 0; left -= CHUNK_MS) {
      this.#steady += CHUNK_MS;
      this.#wall += CHUNK_MS;
      late.push(this.#frames);
      this.#frames += (RATE * CHUNK_MS) / 1000;
    }
    for (const index of late) this.#chunk(index);
    await this.#work;
  }

  async #passChunk(): Promise<void> {
    this.#steady += CHUNK_MS;
    this.#wall += CHUNK_MS;
    const index = this.#frames;
    this.#frames += (RATE * CHUNK_MS) / 1000;
    this.#chunk(index);
    await this.#work;
    for (const tick of this.#ticks) tick();
    // What was submitted is kept, answered and shown.
    for (let turn = 0; turn < 20; turn += 1) await Promise.resolve();
  }

  #chunk(index: number): void {
    const samples = new Float32Array((RATE * CHUNK_MS) / 1000);
    this.#device?.take({ samples, index }, this.#steady);
  }

  #recogniser(events: HearingEvents) {
    this.#hearing = events;
    const done = (): Promise<void> => Promise.resolve();
    return {
      ready: Promise.resolve(true),
      listenFor: () => undefined,
      flush: done,
      close: done,
      feed: (samples: Float32Array, rate: number): Promise<void> => {
        this.#heardMs += (samples.length * 1000) / rate;
        while (this.#toldMs + 100 <= this.#heardMs + 1e-6) {
          const now = (this.#toldMs += 100);
          this.#work = this.#work.then(() =>
            events.clock(now, { level: -50, floor: -50, snr: 0, clipped: false, cabSounds: [] }),
          );
        }
        return this.#work;
      },
    };
  }
}
