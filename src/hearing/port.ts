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
  /** What another engine made of the same sound, where it was asked, and whether both say the same; false, too, where other speech makes it doubtful. */
  readonly second?: { readonly heard: string; readonly confidence: number; readonly engine: EngineId };
  readonly agreed?: boolean;
  /** The utterance's sound, mono 16 kHz, for the record. */
  readonly clip: Float32Array;
}

/** Loading progress from 0 to 1. */
export type Progress = (fraction: number) => void;

/** What is understood of an utterance that may go on. */
interface HeardSoFar {
  /** The words so far, joined by one space; a word stands here soon after it began. */
  readonly text: string;
  /** The engine found the utterance complete by itself. */
  readonly ended: boolean;
}

/** All that a stream heard: one utterance after another, where several were said. */
export interface Understood {
  /** In order; other speech stands among them as words that no ruleset has. Their edges are not yet those of the sound. */
  readonly words: readonly Word[];
  /** How loud the sound is at its loudest between two times, for as long as a short vowel, in dB of full scale. */
  readonly level: (from: Ms, to: Ms) => number;
  /** Some of them, by their places in order, as one utterance with its sound. */
  readonly utterance: (places: readonly number[]) => Heard;
}

/** Utterances and what may come before them, heard while they are spoken. */
export interface HearingStream {
  /** Takes the next samples. What is told is behind the sound by up to half a second, and may still change. */
  accept(samples: Float32Array): Promise<HeardSoFar>;
  /** Understands what was accepted to its end. The stream is over. */
  final(): Promise<Understood>;
  /** The stream is over, unheard. */
  close(): void;
}

/** An engine. All engines take whole utterances, so that they are judged on the same sound and one can give a second opinion. */
export interface Recogniser {
  readonly id: EngineId;
  /** Rejects with a plain message when the model is missing, cut short or of another kind. */
  load(onProgress: Progress): Promise<void>;
  /** Applies from the next `recognise` or `listen` on; never loses an utterance. */
  setGrammar(ruleset: Ruleset): Promise<void>;
  /** `startSample` is the index of `samples[0]` on the sample clock. Mono, 16 kHz, +-1. */
  recognise(samples: Float32Array, startSample: number): Promise<Heard>;
  /** Hears a stream by a ruleset, for engines that can; `startSample` is the index of its first sample. */
  readonly listen?: (ruleset: Ruleset, startSample: number) => Promise<HearingStream>;
  close(): Promise<void>;
}
