import type { Sounding } from '../answering/voice.ts';
import type { Ruleset } from '../grammar/ruleset.ts';
import type { EngineId } from '../units/engine.ts';
import type { Whose } from '../hearing/own-voice/own-voice.ts';
import type { Heard } from '../hearing/port.ts';
import type { Ms } from '../units/time.ts';
import type { SoundReport } from '../hearing/sound-watch.ts';
import type { EarState } from './check-model.ts';

/** Why sound did not come to the check: the device, the recogniser, or a part of the sound alone. */
export type LostReason = 'microphone-lost' | 'engine-lost' | 'sound-lost';

/** What an ear reports. Times are ms on the ear's own sample clock, whose 0 is its first sample. */
export interface EarEvents {
  heard(heard: Heard): Promise<void>;
  /** Sound has been taken in up to here. Both resolve when the check has answered and the grammar is set anew. */
  progress(at: Ms): Promise<void>;
  /**
   * The sound at `at` was taken at `steady` ms of the steady clock: so the sound from there on, until the next tie. An ear of
   * sound that is not live never says so.
   */
  tied?(at: Ms, steady: number): void;
  /** The next sound of the device as it gives it, mono at `rate` Hz, before anything is done with it. */
  sound?(samples: Float32Array, rate: number): void;
  /** How the sound is at `at`. */
  level(sound: SoundReport, at: Ms): void;
  /** `line` says it to the operator. `lost` is set when sound was lost in the middle of listening. */
  state(state: EarState, line: string, lost?: LostReason): void;
  /** The engine died and was replaced without loss of sound. */
  restarted?(engine: EngineId): void;
  /** Somebody other than the tool begins, or has ended, to speak; told as it happens, before any word is understood. */
  operator?(speaks: boolean): void;
  /** A recording has been heard to its end. */
  end(): void;
}

/** A source of callouts: the microphone with its recogniser, or a recording. Nothing here rejects: what fails is a state. */
export interface Ear {
  open(events: EarEvents): Promise<void>;
  /** After the ear was unavailable. */
  retry(): Promise<void>;
  /** Applies to utterances that end from now on. */
  listenFor(ruleset: Ruleset): void;
  /** The tool's own voice begins to sound, or has fallen silent. */
  ownVoice?(now: Sounding | undefined): void;
  /**
   * Whose sound it was between two times of the ear, as parts that make 1; undefined for an ear that the tool's voice does not reach. With
   * the sound of words it is looked whether the tool's voice is in it where that was not to be expected.
   */
  whose?(from: Ms, to: Ms, sound?: Float32Array): Readonly<Record<Whose, number>> | undefined;
  /** Push-to-talk: only what is said between down and up counts. */
  talk(down: boolean): void;
  close(): Promise<void>;
}

/** The ear of a check that is done wholly by hand. */
export function noEar(line: string): Ear {
  return {
    open(events) {
      events.state('unavailable', line);
      return Promise.resolve();
    },
    retry: () => Promise.resolve(),
    listenFor: () => undefined,
    talk: () => undefined,
    close: () => Promise.resolve(),
  };
}
