import type { Ruleset } from '../grammar/ruleset.ts';
import type { EngineId } from '../units/engine.ts';
import type { Ms } from '../units/time.ts';

/** One recognised word; times in ms on the sample clock. */
export interface Word {
  readonly text: string;
  readonly start: Ms;
  readonly end: Ms;
  /** 0 to 1. Not a probability of being right: see `grammar` plausibility and read-back. */
  readonly confidence: number;
}

/** One utterance as an engine heard it. */
export interface Heard {
  readonly engine: EngineId;
  readonly words: readonly Word[];
  /** The words joined by one space; empty when it was not for us. */
  readonly text: string;
  /** Onset of the first word and end of the last; of the sound itself when there are no words. */
  readonly start: Ms;
  readonly end: Ms;
  /** The least confident word's confidence; 0 when there are no words. */
  readonly confidence: number;
  /** True when the filler took it: speech, but not one of the active rules. */
  readonly rejected: boolean;
  /** The utterance's sound, mono 16 kHz, for the record. */
  readonly clip: Float32Array;
}

/** Loading progress from 0 to 1. */
export type Progress = (fraction: number) => void;

/**
 * An engine. It is given whole utterances, cut by the endpointer, so that every engine is judged on the same sound
 * and one can give a second opinion on another.
 */
export interface Recogniser {
  readonly id: EngineId;
  /** Rejects with a plain message when the model is missing, cut short or of another kind. */
  load(onProgress: Progress): Promise<void>;
  /** Applies from the next `recognise` on; never loses an utterance. */
  setGrammar(ruleset: Ruleset): Promise<void>;
  /** `startSample` is the index of `samples[0]` on the sample clock. Mono, 16 kHz, +-1. */
  recognise(samples: Float32Array, startSample: number): Promise<Heard>;
  close(): Promise<void>;
}
