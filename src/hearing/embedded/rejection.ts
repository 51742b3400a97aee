import { SAMPLE_RATE } from '../../units/time.ts';
import type { Decoded, Segment } from './decoder.ts';

const HOP = SAMPLE_RATE / 100;

/**
 * Whether a decode is a callout, rather than other speech forced into the nearest callout. All three must hold;
 * `npm run bench` prints what they let through and what they cost.
 */
export function isForUs(callout: Decoded, filler: Decoded, padded: Float32Array): boolean {
  const words = callout.segments.filter(isWord);
  const phones = Math.max(1, filler.segments.filter(isWord).length);
  return (
    words.every((word) => word.p >= LEAST_POSTERIOR) &&
    (callout.score - filler.score) / phones >= LEAST_LEAD &&
    uncoveredMs(words, padded) <= MOST_UNCOVERED_MS
  );
}

/** Posterior of the least likely word. */
const LEAST_POSTERIOR = 0.75;
/** Log score by which the callout leads the phone loop, per phone of the loop; engine units. */
const LEAST_LEAD = -50;
/** Sound that the callout leaves to silence, in ms. */
const MOST_UNCOVERED_MS = 200;

/** Frames within this many dB of the loud ones count as sound. */
const SOUND_BELOW_LOUD_DB = 25;

/** Milliseconds of sound that no word covers. */
function uncoveredMs(words: readonly Segment[], padded: Float32Array): number {
  const energies = Array.from({ length: Math.floor(padded.length / HOP) }, (_, frame) => {
    let sum = 0;
    for (let i = frame * HOP; i < (frame + 1) * HOP; i += 1) sum += padded[i]! ** 2;
    return sum;
  });
  const loud = [...energies].sort((a, b) => b - a)[Math.floor(energies.length * 0.05)] ?? 0;
  const threshold = loud * 10 ** (-SOUND_BELOW_LOUD_DB / 10);
  const covered = (frame: number): boolean =>
    words.some((word) => frame >= Math.round(word.b * 100) && frame < Math.round((word.b + word.d) * 100));
  return 10 * energies.filter((energy, frame) => energy > threshold && !covered(frame)).length;
}

function isWord(segment: Segment): boolean {
  return !/^[<([]/.test(segment.t);
}
