import type { Ruleset } from '../grammar/ruleset.ts';
import { samplesToMs, type Ms } from '../units/time.ts';
import { FRAME_SAMPLES } from './band-levels.ts';
import { createEndpointer, type EndpointerOptions, type EndpointEvent, type Utterance } from './endpointer.ts';
import type { Heard, Recogniser } from './port.ts';
import { createResampler, type Resampler } from './resampler.ts';
import { createSoundWatch, type SoundReport } from './sound-watch.ts';

/** What a listener tells, in the order of the sample clock; it goes on only when what a callback returns has resolved. */
export interface ListenerEvents {
  readonly started: (at: Ms) => void;
  /** An utterance ended, at sample `until`, and has been decoded by the ruleset of that moment. */
  readonly heard: (heard: Heard, until: number) => Promise<void>;
  /** Every 100 ms of sound. `needed` is the oldest sample index that is still wanted if the listener must begin again. */
  readonly clock: (now: Ms, sound: SoundReport, needed: number) => Promise<void>;
  /** The engine does not take the ruleset; utterances are passed over until another is given. */
  readonly refused: (reason: string) => void;
}

export interface ListenerOptions extends EndpointerOptions {
  /** Index of the first sample on the 16 kHz sample clock. */
  readonly firstSample: number;
  /** Utterances that end at or before this sample, and clock events up to `clockUntil`, have been told before and are not told again. */
  readonly heardUntil: number;
  readonly clockUntil: number;
  /** Decode at the first short silence, so that the answer is ready when the utterance turns out to have ended there. */
  readonly decodeAhead: boolean;
}

export interface Listener {
  /** Applies to every utterance that is decoded from now on; none is lost. */
  listenFor(ruleset: Ruleset): void;
  /** Resolves when all of it has been worked through. One call at a time. */
  push(samples: Float32Array, rate: number): Promise<void>;
  /** The input has ended: the utterance that is going on ends too. */
  flush(): Promise<void>;
}

const CLOCK_SAMPLES = 10 * FRAME_SAMPLES;

/** Resampler, endpointer and engine in sequence: sound of any rate in, utterances out. */
export function createListener(engine: Recogniser, options: ListenerOptions, events: ListenerEvents): Listener {
  const endpointer = createEndpointer(options, options.firstSample);
  const watch = createSoundWatch();
  let resampler: { readonly rate: number; readonly stream: Resampler } | undefined;
  let ruleset: Ruleset | undefined;
  /** The sound that is still needed; `kept[0]` is sample `keptFrom`. */
  let kept: Float32Array = new Float32Array(0);
  let keptFrom = options.firstSample;
  /** The next sample to go through the endpointer. */
  let next = options.firstSample;
  let refusedId: string | undefined;
  let paused: Utterance | undefined;
  let ahead: { readonly utterance: Utterance; readonly ruleset: Ruleset; readonly heard: Heard } | undefined;

  const cut = (from: number, to: number): Float32Array => kept.slice(from - keptFrom, to - keptFrom);

  const decode = async (utterance: Utterance): Promise<Heard | undefined> => {
    if (ruleset === undefined) return undefined;
    if (
      ahead?.utterance.start === utterance.start &&
      ahead.utterance.end === utterance.end &&
      ahead.ruleset.id === ruleset.id
    ) {
      return ahead.heard;
    }
    const rules = ruleset;
    if (!(await accepts(rules))) return undefined;
    const heard = await engine.recognise(cut(utterance.start, utterance.end), utterance.start);
    ahead = { utterance, ruleset: rules, heard };
    return heard;
  };

  const accepts = async (rules: Ruleset): Promise<boolean> => {
    if (rules.id === refusedId) return false;
    try {
      await engine.setGrammar(rules);
      return true;
    } catch (error) {
      refusedId = rules.id;
      events.refused(error instanceof Error ? error.message : String(error));
      return false;
    }
  };

  const take = async (event: EndpointEvent): Promise<void> => {
    paused = event.type === 'paused' ? event.utterance : undefined;
    if (event.type === 'started' && event.at >= options.heardUntil) events.started(samplesToMs(event.at));
    if (event.type !== 'ended' || event.utterance.end <= options.heardUntil) return;
    const heard = await decode(event.utterance);
    if (heard !== undefined) await events.heard(heard, event.utterance.end);
  };

  const work = async (): Promise<void> => {
    while (next + FRAME_SAMPLES <= keptFrom + kept.length) {
      const frame = cut(next, next + FRAME_SAMPLES);
      next += FRAME_SAMPLES;
      watch.push(frame);
      for (const event of endpointer.next(frame)) await take(event);
      if ((next - options.firstSample) % CLOCK_SAMPLES === 0 && next > options.clockUntil) {
        await events.clock(samplesToMs(next), watch.report(), endpointer.needed);
      }
    }
    if (options.decodeAhead && paused !== undefined) await decode(paused);
    kept = kept.slice(endpointer.needed - keptFrom);
    keptFrom = endpointer.needed;
  };

  const append = (samples: Float32Array): void => {
    const joined = new Float32Array(kept.length + samples.length);
    joined.set(kept);
    joined.set(samples, kept.length);
    kept = joined;
  };

  return {
    listenFor(rules) {
      ruleset = rules;
    },
    async push(samples, rate) {
      if (resampler?.rate !== rate) {
        if (resampler !== undefined) append(resampler.stream.flush());
        resampler = { rate, stream: createResampler(rate) };
      }
      append(resampler.stream.push(samples));
      await work();
    },
    async flush() {
      if (resampler !== undefined) append(resampler.stream.flush());
      resampler = undefined;
      await work();
      for (const event of endpointer.flush()) await take(event);
    },
  };
}
