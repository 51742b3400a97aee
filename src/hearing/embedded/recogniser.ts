import type { Ruleset } from '../../grammar/ruleset.ts';
import { SAMPLE_RATE, samplesToMs } from '../../units/time.ts';
import { NUMBER_WORDS } from '../number-words.ts';
import type { Heard, Recogniser, Word } from '../port.ts';
import { createDecoders, isWord, type Decoders, type Segment } from './decoder.ts';
import { fetchModel, type ModelStore } from './model-store.ts';
import { withoutSteadyNoise } from './denoise.ts';
import { PAD_SAMPLES, withNoiseFloor } from './padding.ts';
import { isForUs, type SpokenWord } from './rejection.ts';
import { soundingFrames, voicedFrames, withAdjoiningSound, withoutPauses, type VoicedFrames } from './voiced.ts';

/**
 * The embedded engine: soundswallower with the CMU en-us 16 kHz model. Each utterance is decoded whole, after its end,
 * which is more accurate than decoding as it arrives; a second decode by a loop over all phones says how much better
 * the callout explains the sound than any other speech would.
 *
 * `askedAbout: 'numbers'` is for one who is asked for a second opinion: what it hears as numbers was taken for a callout by somebody else, so
 * that the second decode, which costs as much again, is left out. Default: `anything` may have been said.
 */
export function createEmbeddedEngine(
  store: ModelStore,
  { askedAbout = 'anything' }: { readonly askedAbout?: 'anything' | 'numbers' } = {},
): Recogniser {
  let decoders: Decoders | undefined;
  let active: string | undefined;

  const loaded = (): Decoders => {
    if (decoders === undefined) throw new Error('createEmbeddedEngine: load() must have resolved before this call');
    return decoders;
  };

  const use = (ruleset: Ruleset): void => {
    if (ruleset.id === active) return;
    active = undefined;
    try {
      loaded().callouts.setGrammar(ruleset.jsgf);
    } catch (error) {
      const rules = ruleset.rules.join(', ');
      throw new Error(
        `The embedded engine refused the grammar of ${rules}; is every word of it in the model's dict.txt?`,
        { cause: error },
      );
    }
    active = ruleset.id;
  };

  const hear = (samples: Float32Array, startSample: number): Heard => {
    const { callouts, filler } = loaded();
    if (active === undefined) throw new Error('createEmbeddedEngine: setGrammar() must have resolved before this call');
    const padded = withNoiseFloor(withoutSteadyNoise(samples));
    // Where there is sound, judged on the utterance and the noise under it, without the padding.
    const voiced = voicedFrames(padded.subarray(PAD_SAMPLES, PAD_SAMPLES + samples.length));
    const callout = callouts.decode(padded);
    const words = callout.segments
      .filter(isWord)
      .map((segment) => spoken(segment, voiced, samples.length / SAMPLE_RATE));
    const isTrusted = askedAbout === 'numbers' && words.some(({ text }) => NUMBER_WORDS.has(text));
    const rejected =
      words.length === 0 || !(isTrusted || isForUs({ callout, words, voiced }, () => filler.decode(padded)));
    return heard(rejected ? [] : withSoundOfEdges(words, soundingFrames(samples)), rejected, samples, startSample);
  };

  return {
    id: 'embedded',
    async load(onProgress) {
      const model = await fetchModel(store, onProgress);
      try {
        decoders = await createDecoders(model);
      } finally {
        store.release();
      }
    },
    setGrammar: (ruleset) => settled(() => use(ruleset)),
    recognise: (samples, startSample) => settled(() => hear(samples, startSample)),
    close: () =>
      settled(() => {
        decoders?.callouts.close();
        decoders?.filler.close();
        decoders = undefined;
      }),
  };
}

/** A word of the result, in seconds from the utterance's first sample. */
function spoken(segment: Segment, voiced: VoicedFrames, seconds: number): SpokenWord {
  const begin = segment.b - PAD_SAMPLES / SAMPLE_RATE;
  // The padding around the utterance is none of it.
  const inside = (time: number): number => Math.min(seconds, Math.max(0, time));
  return {
    // `one(2)` is a second pronunciation of `one`.
    text: segment.t.replace(/\(\d+\)$/, ''),
    ...withoutPauses({ start: inside(begin), end: inside(begin + segment.d) }, voiced),
    confidence: Math.min(1, Math.max(0, segment.p)),
  };
}

/** The callout begins and ends with the sound; the edges between its words stay. */
function withSoundOfEdges(words: readonly SpokenWord[], sounding: VoicedFrames): SpokenWord[] {
  return words.map((word, at) => {
    const grown = withAdjoiningSound(word, sounding);
    return {
      ...word,
      ...(at === 0 ? { start: grown.start } : {}),
      ...(at === words.length - 1 ? { end: grown.end } : {}),
    };
  });
}

function heard(words: readonly SpokenWord[], rejected: boolean, samples: Float32Array, startSample: number): Heard {
  const from = samplesToMs(startSample);
  const onClock = words.map((each): Word => ({
    ...each,
    start: from + each.start * 1000,
    end: from + each.end * 1000,
  }));
  return {
    engine: 'embedded',
    words: onClock,
    text: words.map((each) => each.text).join(' '),
    start: onClock[0]?.start ?? from,
    end: onClock.at(-1)?.end ?? from + samplesToMs(samples.length),
    confidence: words.length === 0 ? 0 : Math.min(...words.map((each) => each.confidence)),
    rejected,
    clip: samples,
  };
}

/** Engines answer with promises; this one works at once. */
function settled<T>(step: () => T): Promise<T> {
  return new Promise((resolve) => {
    resolve(step());
  });
}
