import { SAMPLE_RATE } from '../../units/time.ts';
import type { HearingStream } from '../port.ts';
import { toHeard, type LateEdges } from './heard-words.ts';
import type { VoskStream } from './worker-session.ts';

/** Sound before the first and after the last word that is kept as the utterance's own, as the endpointer keeps it. */
const BEFORE = 0.25 * SAMPLE_RATE;
const AFTER = 0.2 * SAMPLE_RATE;
/** Sound that is remembered for the record: the longest utterance, and what lies around it. */
const REMEMBERED = 20 * SAMPLE_RATE;

/** A stream of the engine on the sample clock, with the sound of its utterance. */
export function hearingStream(stream: VoskStream, startSample: number, lateEdges?: LateEdges): HearingStream {
  let kept: Float32Array = new Float32Array(0);
  let accepted = 0;

  const remember = (samples: Float32Array): void => {
    accepted += samples.length;
    const before = kept.subarray(Math.max(0, kept.length + samples.length - REMEMBERED));
    const joined = new Float32Array(before.length + samples.length);
    joined.set(before);
    joined.set(samples, before.length);
    kept = joined;
  };

  return {
    async accept(samples) {
      remember(samples);
      const { text, ended } = await stream.accept(samples);
      return { text, ended: ended && text !== '' };
    },
    async final() {
      const words = await stream.final();
      const first = accepted - kept.length;
      const clamp = (sample: number): number => Math.round(Math.min(kept.length, Math.max(0, sample - first)));
      const from = clamp((words[0]?.start ?? 0) * SAMPLE_RATE - BEFORE);
      const to = clamp((words.at(-1)?.end ?? 0) * SAMPLE_RATE + AFTER);
      const offset = (first + from) / SAMPLE_RATE;
      const inClip = words.map((word) => ({ ...word, start: word.start - offset, end: word.end - offset }));
      return toHeard(inClip, kept.slice(from, to), startSample + first + from, lateEdges);
    },
    close: () => stream.close(),
  };
}
