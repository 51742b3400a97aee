import { createNoiseFloor } from '../noise-floor.ts';

/** What is known of one frame of 10 ms, levels in dB re full scale. */
export interface FrameLevels {
  /** What the microphone heard, without the echo that was foreseen. */
  readonly rest: number;
  /** The echo that was foreseen; undefined where the tool is silent. */
  readonly echo: number | undefined;
}

/** A voice that is not the tool's stands so far above the noise, and above what is usually left of the echo. */
const ABOVE_FLOOR_DB = 7;
const ABOVE_LEFT_DB = 9;
/** Frames of a voice among the last ones that make it somebody who speaks, and silence after which that is over. */
const WINDOW = 16;
export const SPEAKS = 10;
const OVER = 24;
/** What is left of the echo, relative to it, before anything was learned; and the bounds of it. */
const FIRST_LEFT_DB = -3;
const LEAST_LEFT_DB = -30;
/** A path that has just been learned leaves more of what comes than of what it was learned from. */
const NEW_LEFT_DB = -5;
/** With so little left, what nobody was found to say is the tool's own for sure. */
const TRUSTED_DB = -6;
/** How fast it follows; a little faster upwards, so that it lies above most of what is left. */
const UP_DB = 0.12;
const DOWN_DB = 0.06;
/** An echo dies away by so much a frame. */
const DECAY_DB = 0.7;
const FLOOR_FRAMES = 180;
/** A device that has just begun gives zeros, which are no noise of the cab. */
const NO_SOUND_DB = -99;

/** Whether somebody speaks besides the tool. */
export interface Presence {
  /** The next frame. */
  next(levels: FrameLevels): void;
  /** The last frames were not so: these are what they are now. */
  again(levels: readonly FrameLevels[]): void;
  /** In how many of the last frames there was a voice. */
  readonly voices: number;
  /** A frame of this level, dB, in which nothing of the tool's can be, has a voice in it. */
  isVoice(level: number): boolean;
  /** Somebody has spoken in the last frames, so many frames ago for the first time; undefined while nobody does. */
  readonly since: number | undefined;
  /** The steady noise, dB. */
  readonly floor: number;
  /** The last frame had a voice in it. */
  readonly voiced: boolean;
  /** What is left of the echo could be heard in the last frame. */
  readonly leaks: boolean;
  /** So little is usually left of the echo that whatever is heard besides it would stand out. */
  readonly trusted: boolean;
  /**
   * What was left of the echo in frames of which most had nobody speaking: sets what is usual at the beginning of an answer. `isNew`: the
   * echo was foreseen from these very frames.
   */
  calibrate(levels: readonly FrameLevels[], isNew: boolean): void;
}

export function createPresence(): Presence {
  const noise = createNoiseFloor(FLOOR_FRAMES, -75, -50);
  let floor = -50;
  let left: number | undefined;
  let echo = -100;
  let recent: boolean[] = [];
  let since: number | undefined;
  let silent = 0;
  let voiced = false;

  const presence: Presence = {
    next(levels) {
      if (levels.rest > NO_SOUND_DB) floor = noise.next(levels.rest);
      echo = Math.max(levels.echo ?? -100, echo - DECAY_DB);
      const usual = echo + (left ?? FIRST_LEFT_DB);
      voiced = levels.rest > floor + ABOVE_FLOOR_DB && levels.rest > usual + ABOVE_LEFT_DB;
      recent = [...recent.slice(1 - WINDOW), voiced];
      silent = voiced ? 0 : silent + 1;
      if (since !== undefined) since = silent >= OVER ? undefined : since + 1;
      else if (presence.voices >= SPEAKS) since = recent.length - recent.indexOf(true);
      if (left !== undefined && levels.echo !== undefined && !voiced && levels.echo > floor + ABOVE_FLOOR_DB) {
        const now = levels.rest - levels.echo;
        left = Math.min(0, Math.max(LEAST_LEFT_DB, left + (now > left ? UP_DB : -DOWN_DB)));
      }
    },
    again(levels) {
      recent = [];
      since = undefined;
      for (const each of levels) presence.next(each);
    },
    get voices() {
      return recent.filter((each) => each).length;
    },
    isVoice: (level) => level > floor + ABOVE_FLOOR_DB,
    get since() {
      return since;
    },
    get floor() {
      return floor;
    },
    get voiced() {
      return voiced;
    },
    get leaks() {
      return echo + (left ?? FIRST_LEFT_DB) > floor - 6;
    },
    get trusted() {
      return left !== undefined && left <= TRUSTED_DB;
    },
    calibrate(levels, isNew) {
      const ratios = levels
        .flatMap(({ rest, echo: own }) => (own === undefined || own < floor + ABOVE_FLOOR_DB ? [] : [rest - own]))
        .sort((a, b) => a - b);
      // The better quarter: somebody may have spoken in the others.
      const quarter = ratios[Math.floor(ratios.length / 4)];
      if (quarter === undefined) return;
      const measured = Math.min(0, Math.max(isNew ? NEW_LEFT_DB : LEAST_LEFT_DB, quarter + 3));
      left = left === undefined ? measured : Math.min(measured, left + 6);
    },
  };
  return presence;
}
