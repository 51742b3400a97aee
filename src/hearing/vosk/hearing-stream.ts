import { SAMPLE_RATE } from '../../units/time.ts';
import type { HearingStream } from '../port.ts';
import { keepSound } from '../kept-sound.ts';
import { onClock, toHeard, type LateEdges } from './heard-words.ts';
import type { VoskStream } from './worker-session.ts';

/** Sound before the first and after the last word that is kept as the utterance's own, as the endpointer keeps it. */
const BEFORE = 0.25 * SAMPLE_RATE;
const AFTER = 0.2 * SAMPLE_RATE;
/** Sound that is remembered for the record: the longest utterance, and what lies around it. */
const REMEMBERED = 20 * SAMPLE_RATE;

/** A stream of the engine on the sample clock, with the sound of its utterance. */
export function hearingStream(stream: VoskStream, startSample: number, lateEdges?: LateEdges): HearingStream {
  const kept = keepSound(0);

  return {
    async accept(samples) {
      kept.append(samples);
      kept.forget(kept.to - REMEMBERED);
      const { text, ended } = await stream.accept(samples);
      return { text, ended: ended && text !== '' };
    },
    async final() {
      const found = await stream.final();
      const clamp = (sample: number): number => Math.round(Math.min(kept.to, Math.max(kept.from, sample)));
      return {
        words: onClock(found, startSample, lateEdges),
        utterance(first, end) {
          const words = found.slice(first, end);
          const from = clamp((words[0]?.start ?? 0) * SAMPLE_RATE - BEFORE);
          const to = clamp((words.at(-1)?.end ?? 0) * SAMPLE_RATE + AFTER);
          const offset = from / SAMPLE_RATE;
          const inClip = words.map((word) => ({ ...word, start: word.start - offset, end: word.end - offset }));
          return toHeard(inClip, kept.cut(from, to), startSample + from, lateEdges);
        },
      };
    },
    close: () => stream.close(),
  };
}
