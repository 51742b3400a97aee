import { createSoundCheck, type SoundCheckCourse, type SoundCheckView } from '../hearing/sound-check/course.ts';
import type { Heard } from '../hearing/port.ts';
import type { Pressure } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import type { EarState } from './check-model.ts';
import type { Ear } from './ear.ts';
import type { Language } from './language.ts';
import { TRIAL_READING } from './trial-phrase.ts';

const RULES = ['readings'];

/** What the ear made of the phrase: `waiting` until it has had time to. */
export type Understood = 'waiting' | 'right' | 'nothing' | { readonly heard: string };

export interface SoundTrialView extends SoundCheckView {
  readonly understood: Understood;
}

/** So long after the measured sound the ear may still tell what it heard, in ms of sound that it has worked through. */
const TELLS_WITHIN: Ms = 2500;

interface SoundTrialTo {
  readonly state: (state: EarState, line: string) => void;
  /** Many times a second while sound comes. */
  readonly changed: (view: SoundTrialView) => void;
}

/** The sound check over the ear of a check: its microphone is measured, and what its engine heard of the phrase is told. */
export class SoundTrial {
  readonly #course: SoundCheckCourse = createSoundCheck();
  readonly #ear: Ear;
  readonly #language: Language;
  readonly #to: SoundTrialTo;
  #understood: Understood = 'waiting';
  #measuredAt: Ms | undefined;

  constructor(ear: Ear, language: Language, to: SoundTrialTo) {
    this.#ear = ear;
    this.#language = language;
    this.#to = to;
  }

  async open(): Promise<void> {
    this.#ear.listenFor(this.#language.ruleset(RULES, 'psi'));
    await this.#ear.open({
      sound: (samples, rate) => this.#take(samples, rate),
      heard: (heard) => {
        this.#heard(heard);
        return Promise.resolve();
      },
      progress: (at) => {
        this.#progress(at);
        return Promise.resolve();
      },
      level: () => undefined,
      end: () => undefined,
      state: this.#to.state,
    });
  }

  /** Lets go of the microphone. */
  async close(): Promise<void> {
    await this.#ear.close();
  }

  #take(samples: Float32Array, rate: number): void {
    this.#course.push(samples, rate);
    if (this.#course.view.stage === 'measured') this.#measuredAt ??= this.#course.takenIn;
    this.#tell();
  }

  #heard({ text, start, rejected }: Heard): void {
    const { askedAt } = this.#course;
    if (askedAt === undefined || start < askedAt || this.#understood === 'right') return;
    const said = rejected || text === '' ? undefined : this.#language.parse(RULES, text, 'psi')?.reading;
    if (isPressure(said?.primary, TRIAL_READING.primary) && isPressure(said?.secondary, TRIAL_READING.secondary))
      this.#understood = 'right';
    else if (text !== '' && !rejected) this.#understood = { heard: text };
    this.#tell();
  }

  #progress(at: Ms): void {
    if (this.#understood !== 'waiting' || this.#measuredAt === undefined) return;
    if (at < this.#measuredAt + TELLS_WITHIN) return;
    this.#understood = 'nothing';
    this.#tell();
  }

  #tell(): void {
    this.#to.changed({ ...this.#course.view, understood: this.#understood });
  }
}

function isPressure(said: Pressure | undefined, meant: number): boolean {
  return said?.value === meant;
}
