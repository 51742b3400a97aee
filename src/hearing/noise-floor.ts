/**
 * The level of the noise under the speech, as the least of the smoothed levels of the last while ("minimum statistics",
 * R. Martin 2001, much simplified): speech always dips within a second or two, so only what never stops counts as noise.
 * It falls at once, and rises when a louder noise has lasted for the whole window: an engine that starts is taken for
 * speech no longer than that.
 */
export interface NoiseFloor {
  /** Takes the next frame's level in dB and gives the floor in dB. */
  next(level: number): number;
}

/**
 * `window` in frames; `least` is the lowest floor in dB, for digital silence. `guess` is a floor assumed at first, for
 * a few frames, so that a recording that begins in the middle of a word is heard.
 */
export function createNoiseFloor(window: number, least: number, guess = Infinity): NoiseFloor {
  /** Candidates for the minimum, levels ascending from front to back. */
  const candidates: { readonly frame: number; readonly level: number }[] = [
    { frame: GUESS_FRAMES - window, level: guess },
  ];
  const recent: number[] = [];
  let frame = 0;

  return {
    next(level) {
      recent.push(level);
      if (recent.length > SMOOTHING) recent.shift();
      const smoothed = recent.reduce((sum, each) => sum + each, 0) / recent.length;
      while ((candidates.at(-1)?.level ?? -Infinity) >= smoothed) candidates.pop();
      candidates.push({ frame, level: smoothed });
      if ((candidates[0]?.frame ?? frame) <= frame - window) candidates.shift();
      frame += 1;
      return Math.max(least, candidates[0]?.level ?? smoothed);
    },
  };
}

const GUESS_FRAMES = 30;

/** Frames averaged before the minimum is taken. */
const SMOOTHING = 6;
