import { msToSamples, SAMPLE_RATE } from '../../units/time.ts';
import type { HearingStream } from '../port.ts';
import { FRAME_SAMPLES } from '../band-levels.ts';
import { keepSound } from '../kept-sound.ts';
import { onClock, toHeard, type LateEdges } from './heard-words.ts';
import type { VoskStream } from './worker-session.ts';

/** Sound before the first and after the last word that is kept as the utterance's own, as the endpointer keeps it. */
const BEFORE = 0.25 * SAMPLE_RATE;
const AFTER = 0.2 * SAMPLE_RATE;
/** Sound that is remembered for the record: the longest utterance, and what lies around it. */
const REMEMBERED = 20 * SAMPLE_RATE;
/** Frames of 10 ms, as many as a short vowel lasts. */
const LOUDEST_FRAMES = 6;

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
        level(from, to) {
          const [first, last] = [from, to].map((time) => clamp(msToSamples(time) - startSample));
          return loudness(kept.cut(first ?? 0, last ?? 0));
        },
        utterance(places) {
          const words = places.flatMap((at) => found[at] ?? []);
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

/** The level of the loudest 60 ms, in dB: of a vowel, also where a short word of one voice and the speech of another are one word to the engine. */
function loudness(sound: Float32Array): number {
  const powers: number[] = [];
  for (let from = 0; from + FRAME_SAMPLES <= sound.length; from += FRAME_SAMPLES)
    powers.push(sound.subarray(from, from + FRAME_SAMPLES).reduce((sum, sample) => sum + sample ** 2, 0));
  const loudest = powers.sort((a, b) => b - a).slice(0, LOUDEST_FRAMES);
  const power = loudest.reduce((sum, each) => sum + each, 0) / (Math.max(1, loudest.length) * FRAME_SAMPLES);
  return 10 * Math.log10(power + 1e-10);
}
