import type { Pressure } from '../units/pressure.ts';

/** Both needles, or one of them when only that one was called. */
export interface SpokenReading {
  readonly primary?: Pressure;
  readonly secondary?: Pressure;
}

/**
 * What is said of one item of a walk. `state` is `good`, `value`, `repaired`, `skipped`, `absent`, or the id of a way of being bad.
 */
export interface SpokenItem {
  readonly item: string;
  readonly state: string;
  /** With `value` only, in the unit of the item's measure. */
  readonly value?: number;
}

/**
 * Commands are understood in every step. The cues of the steps are not listed here: the grammar files define them
 * (`{cue ID}` tags), so that a new one needs no code.
 */
export const COMMANDS = [
  'yes',
  'no',
  'say-again',
  'how-long',
  'correction',
  'go-back',
  'skip',
  'pause',
  'resume',
  'note',
  'stop-check',
  'listen-open',
  'listen-push',
] as const;
export type Command = (typeof COMMANDS)[number];

/**
 * What a callout means. "Cut out, primary one two five, secondary one two four" has a cue and a reading;
 * "correction, secondary one one six" a command and a reading; "skip, not fitted" a command and a reason.
 */
export interface Meaning {
  /** Cue ids in the order spoken, for example `['cut-out']`. */
  readonly cues: readonly string[];
  readonly reading?: SpokenReading;
  /** A pressure of which it was not said which needle had it: "no, one one six". */
  readonly number?: Pressure;
  /** How many of the cues were spoken before the needles; absent when all were. */
  readonly before?: number;
  readonly command?: Command;
  /** Reason id given with or after `skip`, for example `not-fitted`. */
  readonly reason?: string;
  /** Items of a walk in the order spoken. */
  readonly items?: readonly SpokenItem[];
  /** Where the walk goes: `next`, or the id of the place that it goes back to. */
  readonly move?: string;
}
