import { createBandLevels, FRAME_MS, FRAME_SAMPLES } from './band-levels.ts';
import { createNoiseFloor } from './noise-floor.ts';

/** How far above the noise floor a frame must be to be sound, in dB. */
const SOUND_DB = 4.5;
/** Speech that stood at least this far above the floor: only then does the level tell a pause from a word lost in noise. */
const CLEAR_DB = 28;
const FLOOR_WINDOW = 1800 / FRAME_MS;
const LEAST_FLOOR = -65;
const FIRST_FLOOR = -50;

/** How long it has been quiet after clear speech: it lets an answer come sooner, and says nothing over noise. */
export interface ClearSilence {
  /** Takes exactly one 10 ms frame; `next` is the sample after it. */
  next(frame: Float32Array, next: number): void;
  /** The sample after the last sound since `forget`, when there was clear speech among it. */
  readonly quietSince: number | undefined;
  /** Speech that began before now is forgotten. */
  forget(): void;
}

export function createClearSilence(): ClearSilence {
  const levels = createBandLevels();
  const voiceFloor = createNoiseFloor(FLOOR_WINDOW, LEAST_FLOOR, FIRST_FLOOR);
  const hissFloor = createNoiseFloor(FLOOR_WINDOW, LEAST_FLOOR, FIRST_FLOOR);
  let peak = 0;
  let lastLoud = 0;
  return {
    next(frame, next) {
      const level = levels(frame.subarray(0, FRAME_SAMPLES));
      const above = Math.max(level.voice - voiceFloor.next(level.voice), level.hiss - hissFloor.next(level.hiss));
      if (above < SOUND_DB) return;
      lastLoud = next;
      peak = Math.max(peak, above);
    },
    get quietSince() {
      return peak >= CLEAR_DB ? lastLoud : undefined;
    },
    forget() {
      peak = 0;
    },
  };
}
