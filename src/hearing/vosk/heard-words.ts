import { samplesToMs } from '../../units/time.ts';
import type { Heard, Word } from '../port.ts';
import { soundMap, soundSpan, timed } from './word-edges.ts';
import { UNKNOWN } from './phrases.ts';
import type { VoskWord } from './engine-messages.ts';

/** By how much a model's words begin and end late, in the median, in seconds. */
export interface LateEdges {
  readonly start: number;
  readonly end: number;
  /** The same in a noise that hides the edges of words from the level; as elsewhere when absent. */
  readonly inNoise?: {
    readonly start: number;
    readonly end: number;
    /** Of the last word of an utterance, by how it is written at its end; negative where its last sounds fade into the noise. */
    readonly lastEnd?: Readonly<Record<string, number>>;
  };
}

const IN_TIME: LateEdges = { start: 0, end: 0 };

/** Words as the engine timed them, on the clock whose sample `startSample` is their zero; other speech stays in place. */
export function onClock(
  found: readonly VoskWord[],
  startSample: number,
  { start: startsLate, end: endsLate }: LateEdges = IN_TIME,
): readonly Word[] {
  const ms = (seconds: number): number => samplesToMs(startSample) + Math.round(Math.max(0, seconds) * 1000);
  return found.map(({ word, start, end, conf }) => ({
    text: word,
    start: ms(start - startsLate),
    end: ms(end - endsLate),
    confidence: Math.min(1, Math.max(0, conf)),
  }));
}

/**
 * One utterance as the port wants it. Anything outside the phrases (`[unk]`) rejects the whole utterance: half a callout is
 * worse than none, since it would be taken without its other half.
 */
export function toHeard(
  found: readonly VoskWord[],
  samples: Float32Array,
  startSample: number,
  late: LateEdges = IN_TIME,
): Heard {
  const origin = samplesToMs(startSample);
  const ms = (seconds: number): number => origin + Math.round(seconds * 1000);
  const map = soundMap(samples);
  const { start: startsLate, end: endsLate } = map.clear ? late : (late.inNoise ?? late);
  const lastEnds = map.clear ? {} : (late.inNoise?.lastEnd ?? {});
  const lastWord = found.at(-1)?.word ?? '';
  const lastEndsLate = Object.entries(lastEnds).find(([ending]) => lastWord.endsWith(ending))?.[1] ?? endsLate;
  const rejected = found.some(({ word }) => word === UNKNOWN);
  const words: Word[] = rejected
    ? []
    : found.map(({ word, start, end, conf }, index) => {
        const isLast = index === found.length - 1;
        const inTime = {
          start: Math.max(0, start - startsLate),
          end: Math.max(0, end - (isLast ? lastEndsLate : endsLate)),
        };
        const span = timed(inTime, map, { first: index === 0, last: isLast });
        return { text: word, start: ms(span.start), end: ms(span.end), confidence: Math.min(1, Math.max(0, conf)) };
      });
  const sound = soundSpan(map);
  return {
    engine: 'vosk',
    words,
    text: words.map(({ text }) => text).join(' '),
    start: words[0]?.start ?? ms(sound.start),
    end: words.at(-1)?.end ?? ms(sound.end),
    confidence: words.length === 0 ? 0 : Math.min(...words.map(({ confidence }) => confidence)),
    rejected,
    clip: samples,
  };
}
