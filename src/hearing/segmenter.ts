import type { Ruleset } from '../grammar/ruleset.ts';
import { samplesToMs } from '../units/time.ts';
import { createEndpointer, type EndpointEvent, type Utterance } from './endpointer.ts';
import type { Segmenter, SegmenterEvents, SegmenterOptions } from './segmenter-port.ts';
import type { Heard, Recogniser } from './port.ts';
import { createSoundIntake } from './sound-intake.ts';
import { createStreamingSegmenter } from './streaming-segmenter.ts';

export type { Segmenter, SegmenterEvents, SegmenterOptions };

/** Sound of any rate in, utterances out: heard while they are spoken where the engine can, else cut by the endpointer and then decoded. */
export function createSegmenter(engine: Recogniser, options: SegmenterOptions, events: SegmenterEvents): Segmenter {
  const { listen } = engine;
  return listen === undefined
    ? createCuttingSegmenter(engine, options, events)
    : createStreamingSegmenter({ ...engine, listen }, options, events);
}

/** Resampler, endpointer and engine in sequence. */
function createCuttingSegmenter(engine: Recogniser, options: SegmenterOptions, events: SegmenterEvents): Segmenter {
  const endpointer = createEndpointer(options, options.firstSample);
  let ruleset: Ruleset | undefined;
  let refusedId: string | undefined;
  let paused: Utterance | undefined;
  let ahead: { readonly utterance: Utterance; readonly ruleset: Ruleset; readonly heard: Heard } | undefined;

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
    const heard = await engine.recognise(intake.cut(utterance.start, utterance.end), utterance.start);
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

  const intake = createSoundIntake(options, {
    async frame(frame) {
      for (const event of endpointer.next(frame)) await take(event);
    },
    needed: () => endpointer.needed,
    clock: events.clock,
  });

  return {
    listenFor(rules) {
      ruleset = rules;
    },
    async push(samples, rate) {
      await intake.push(samples, rate);
      if (options.decodeAhead && paused !== undefined) await decode(paused);
    },
    async flush() {
      await intake.flush();
      for (const event of endpointer.flush()) await take(event);
    },
  };
}
