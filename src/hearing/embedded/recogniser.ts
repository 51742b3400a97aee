import type { Ruleset } from '../../grammar/ruleset.ts';
import { SAMPLE_RATE, samplesToMs } from '../../units/time.ts';
import type { Heard, Recogniser, Word } from '../port.ts';
import { createDecoders, type Decoders, type Segment } from './decoder.ts';
import { fetchModel, type ModelStore } from './model-store.ts';
import { PAD_SAMPLES, withNoiseFloor } from './padding.ts';
import { isForUs } from './rejection.ts';

/**
 * The embedded engine: soundswallower with the CMU en-us 16 kHz model. Each utterance is decoded whole, after its end,
 * which is more accurate than decoding as it arrives; a second decode by a loop over all phones says how much better
 * the callout explains the sound than any other speech would.
 */
export function createEmbeddedEngine(store: ModelStore): Recogniser {
  let decoders: Decoders | undefined;
  let active: string | undefined;

  const loaded = (): Decoders => {
    if (decoders === undefined) throw new Error('createEmbeddedEngine: load() must have resolved before this call');
    return decoders;
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
    async setGrammar(ruleset: Ruleset) {
      if (ruleset.id === active) return;
      try {
        loaded().callouts.setGrammar(ruleset.jsgf);
      } catch (error) {
        active = undefined;
        throw new Error(`The embedded engine refused the grammar of ${ruleset.rules.join(', ')}; is every word of it in the model's dict.txt?`, {
          cause: error,
        });
      }
      active = ruleset.id;
    },
    async recognise(samples, startSample) {
      const { callouts, filler } = loaded();
      if (active === undefined) throw new Error('createEmbeddedEngine: setGrammar() must have resolved before this call');
      const padded = withNoiseFloor(samples);
      const decoded = callouts.decode(padded);
      const words = decoded.segments.flatMap((segment) => word(segment, startSample));
      const rejected = words.length === 0 || !isForUs(decoded, filler.decode(padded), padded);
      return heard(rejected ? [] : words, rejected, samples, startSample);
    },
    async close() {
      decoders?.callouts.close();
      decoders?.filler.close();
      decoders = undefined;
    },
  };
}

/** Silence, noise units and the grammar's empty transitions are no words; `one(2)` is a second pronunciation of `one`. */
function word(segment: Segment, startSample: number): Word[] {
  if (/^[<([]/.test(segment.t)) return [];
  const begin = samplesToMs(startSample - PAD_SAMPLES) + segment.b * 1000;
  return [
    {
      text: segment.t.replace(/\(\d+\)$/, ''),
      start: begin,
      end: begin + segment.d * 1000,
      confidence: Math.min(1, Math.max(0, segment.p)),
    },
  ];
}

function heard(words: readonly Word[], rejected: boolean, samples: Float32Array, startSample: number): Heard {
  const first = words[0];
  const last = words.at(-1);
  return {
    engine: 'embedded',
    words,
    text: words.map((each) => each.text).join(' '),
    start: first?.start ?? samplesToMs(startSample),
    end: last?.end ?? samplesToMs(startSample) + (samples.length * 1000) / SAMPLE_RATE,
    confidence: words.reduce((least, each) => Math.min(least, each.confidence), words.length === 0 ? 0 : 1),
    rejected,
    clip: samples,
  };
}
