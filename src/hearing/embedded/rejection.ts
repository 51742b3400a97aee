import { isWord, type Decoded } from './decoder.ts';
import type { Span, VoicedFrames } from './voiced.ts';

/** A word in seconds from the utterance's first sample. */
export interface SpokenWord extends Span {
  readonly text: string;
  readonly confidence: number;
}

/** A decode of an utterance by the grammar of the callouts. */
interface Candidate {
  readonly callout: Decoded;
  readonly words: readonly SpokenWord[];
  readonly voiced: VoicedFrames;
}

/** Posterior of the least likely word. Low on purpose: an unsure callout is asked, not lost. */
const LEAST_CONFIDENCE = 0.65;
/** Milliseconds of sound that the callout leaves to silence: more than a breath is other words. */
const MOST_UNCOVERED_MS = 250;
/**
 * Log score by which the callout leads the phone loop, per phone of the loop; engine units. Of 323 cues of four synthetic
 * voices that were decoded rightly 97 % led by 60, of 96 unrelated sentences none, of 50 unrelated single words four. Every alternative
 * that the grammar has gained since costs each callout as much as other speech: 50 units of a cue of seven phones by now.
 */
const LEAST_LEAD = -67;

/**
 * Whether a decode is a callout, rather than other speech forced into the nearest callout.
 * `npm run bench` prints what they let through and what they cost. `decodeFiller` decodes the same sound by a loop over
 * all phones; it is asked last, since it costs as much as the callout's own decode.
 */
export function isForUs({ callout, words, voiced }: Candidate, decodeFiller: () => Decoded): boolean {
  if (words.some((word) => word.confidence < LEAST_CONFIDENCE)) return false;
  if (uncoveredMs(words, voiced) > MOST_UNCOVERED_MS) return false;
  const filler = decodeFiller();
  const phones = Math.max(1, filler.segments.filter(isWord).length);
  return (callout.score - filler.score) / phones >= LEAST_LEAD;
}

/** Milliseconds of sound that no word covers. */
function uncoveredMs(words: readonly SpokenWord[], voiced: VoicedFrames): number {
  const covered = (frame: number): boolean =>
    words.some((word) => frame >= word.start * 100 - 1 && frame <= word.end * 100);
  return 10 * voiced.filter((loud, frame) => loud && !covered(frame)).length;
}
