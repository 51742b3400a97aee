import { createBandLevels, FRAME_MS, FRAME_SAMPLES } from './band-levels.ts';
import { createNoiseFloor } from './noise-floor.ts';

/** How far above the noise floor a frame must be to be sound, in dB. */
const SOUND_DB = 4.5;
/** Speech that stood at least this far above the floor: only then does the level tell a pause from a word lost in noise. */
const CLEAR_DB = 28;
/** Speech that stood so far above the floor stops noticeably, though a weak word may go on in the noise. */
const PLAIN_DB = 12;
const FLOOR_WINDOW = 1800 / FRAME_MS;
const LEAST_FLOOR = -65;
const FIRST_FLOOR = -50;
/** A place whose noise, in each band, is below this level in dB is silent: no engine runs, no fan. */
const SILENT_PLACE = -52;

/** How long it has been quiet: after clear speech it lets an answer come sooner, in a silent place it saves work. */
export interface ClearSilence {
  /** Takes exactly one 10 ms frame; `next` is the sample after it. */
  next(frame: Float32Array, next: number): void;
  /** The sample after the last sound since `forget`, when there was clear speech among it. */
  readonly quietSince: number | undefined;
  /** The same of speech that stood out of the noise at all: it tells when to ask for a pause, and not that there is one. */
  readonly lullSince: number | undefined;
  /** The sample after the last sound, where the place is silent but for it: never over noise, in which a weak word could hide. */
  readonly stillSince: number | undefined;
  /** Speech that began before now is forgotten. */
  forget(): void;
}

export function createClearSilence(): ClearSilence {
  const levels = createBandLevels();
  const voiceFloor = createNoiseFloor(FLOOR_WINDOW, LEAST_FLOOR, FIRST_FLOOR);
  const hissFloor = createNoiseFloor(FLOOR_WINDOW, LEAST_FLOOR, FIRST_FLOOR);
  let peak = 0;
  let floor = 0;
  let lastLoud: number | undefined;
  return {
    next(frame, next) {
      const level = levels(frame.subarray(0, FRAME_SAMPLES));
      const floors = { voice: voiceFloor.next(level.voice), hiss: hissFloor.next(level.hiss) };
      floor = Math.max(floors.voice, floors.hiss);
      lastLoud ??= next;
      const above = Math.max(level.voice - floors.voice, level.hiss - floors.hiss);
      if (above < SOUND_DB) return;
      lastLoud = next;
      peak = Math.max(peak, above);
    },
    get quietSince() {
      return peak >= CLEAR_DB ? lastLoud : undefined;
    },
    get lullSince() {
      return peak >= PLAIN_DB ? lastLoud : undefined;
    },
    get stillSince() {
      return floor < SILENT_PLACE ? lastLoud : undefined;
    },
    forget() {
      peak = 0;
    },
  };
}
