import type { Grammar } from '../grammar/syntax.ts';
import type { PressureUnit } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import type { Said } from './callout-of.ts';

/** What an utterance is listened for with. */
interface Listening {
  readonly grammar: Grammar;
  readonly rules: readonly string[];
  readonly unit: PressureUnit;
}

/** Whoever listens to a source. */
export interface CalloutTaker {
  /** What to listen for now; no rules when nothing more is wanted. Asked before each utterance, after the one before it was taken. */
  listening(): Listening;
  take(said: Said): void;
  /** Sound like speech that is none of what was listened for. */
  passOver?(at: Ms, end: Ms): void;
  /** The source has been worked through up to here. */
  pass(at: Ms): void;
}

/** Something with utterances in it. */
export interface CalloutSource {
  /** Gives every utterance to the taker, in order. Once only. Resolves with the length of the file, in ms. */
  play(taker: CalloutTaker): Promise<Ms>;
}
