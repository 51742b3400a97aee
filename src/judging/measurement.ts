import type { Pressure } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';

/** What a step measures; decides which figures are computed and which limits of a profile apply. */
export const TESTS = [
  'none',
  'plain-reading',
  'pre-start-fill',
  'governor-cut-out',
  'governor-cut-in',
  'static-leakage',
  'applied-leakage',
  'low-air-warning',
  'spring-brake-activation',
  'build-up',
  'tug-test',
  'hand-valve-test',
  'service-brake-test',
] as const;
export type TestId = (typeof TESTS)[number];

/** Curb idle; fast idle or about 1200 rpm; the fastest that the governor allows. Slowest first. */
export const ENGINE_SPEEDS = ['idle', 'operating', 'governed'] as const;
export type EngineSpeed = (typeof ENGINE_SPEEDS)[number];

/** A pair of pressures and the time of the words: `start` is the onset of the first word, `end` the end of the last. */
export interface TimedReading {
  readonly primary?: Pressure;
  readonly secondary?: Pressure;
  readonly start: Ms;
  readonly end: Ms;
}

/** What one step of a check gathered, ready to be judged. */
export interface Measurement {
  readonly test: TestId;
  /** In the order called. One for a plain reading, two for a hold (before and after) or a build-up (lower and upper). */
  readonly readings: readonly TimedReading[];
  /** Readings called while a hold ran, of one circuit or both. */
  readonly between?: readonly TimedReading[];
  /** Engine speed of a build-up. `operating` when absent. */
  readonly engineSpeed?: EngineSpeed;
  /** What was heard, seen or felt, as a cue id: `rig-held`, `pulled-left`, `buzzer`, `no-warning`, … */
  readonly observed?: string;
  /** Earlier measured pressures that some figures need, by test: the governor differential needs the cut-out. */
  readonly earlier?: Partial<Record<TestId, readonly TimedReading[]>>;
  /** Tests that this check had before and did not judge: what is held against one of them may fail, and never passes. */
  readonly unjudged?: readonly TestId[];
}
