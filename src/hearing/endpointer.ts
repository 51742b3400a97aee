import { createBandLevels, FRAME_MS, FRAME_SAMPLES } from './band-levels.ts';
import { createNoiseFloor } from './noise-floor.ts';

export interface EndpointerOptions {
  /** Silence that ends an utterance, in ms. Shorter answers sooner but cuts between the words of a slow speaker. Default 400. */
  readonly endSilenceMs?: number;
  /** A longer utterance is cut here, in ms. Default 15,000. */
  readonly maxUtteranceMs?: number;
}

/** A stretch of the sample clock; `end` is exclusive. */
export interface Utterance {
  /** Includes 250 ms before the sound. */
  readonly start: number;
  /** Includes 200 ms after the sound. */
  readonly end: number;
}

/**
 * - `started`: sound has lasted long enough to be speech; `at` is its onset.
 * - `paused`: there was a short silence, so `utterance` may be complete. Decoding it now gains time; if it is, the same
 *   utterance follows as `ended`, else `resumed` comes first.
 * - `ended`: the utterance is complete.
 */
export type EndpointEvent =
  | { readonly type: 'started'; readonly at: number }
  | { readonly type: 'paused'; readonly utterance: Utterance }
  | { readonly type: 'resumed' }
  | { readonly type: 'ended'; readonly utterance: Utterance };

export interface Endpointer {
  /** Takes exactly one 10 ms frame of 160 samples. */
  next(frame: Float32Array): readonly EndpointEvent[];
  /** The input has ended: what is going on ends here. */
  flush(): readonly EndpointEvent[];
  /** The oldest sample index that an utterance still to be reported can begin at. */
  readonly needed: number;
}

/** How far above the noise floor a frame must be to begin speech, and to go on with it; dB. */
const ON_DB = 7;
const OFF_DB = 4.5;
/** Lowest noise floor in dB: with it, sound below about -58 dBFS is silence. */
const LEAST_FLOOR = -65;
/** Floor assumed for the first 0.3 s, in dB. */
const FIRST_FLOOR = -50;
const FLOOR_WINDOW = 1800 / FRAME_MS;
/** Loud frames within the last few that begin speech: shorter clicks do not. */
const ONSET_FRAMES = 6;
const ONSET_WINDOW = 9;
const BEFORE_MS = 250;
const AFTER_MS = 200;
/** Silence after which an utterance may be complete. Longer than the closures within words such as "eight" and "stop". */
const PAUSE_MS = 200;

/** Cuts a stream into utterances by how far two speech bands stand above their own noise floors. `firstSample` is the index of its first sample. */
export function createEndpointer(options: EndpointerOptions = {}, firstSample = 0): Endpointer {
  const endFrames = Math.round((options.endSilenceMs ?? 400) / FRAME_MS);
  const maxFrames = Math.round((options.maxUtteranceMs ?? 15_000) / FRAME_MS);
  const pauseFrames = Math.min(endFrames, Math.round(PAUSE_MS / FRAME_MS));
  const levels = createBandLevels();
  const voiceFloor = createNoiseFloor(FLOOR_WINDOW, LEAST_FLOOR, FIRST_FLOOR);
  const hissFloor = createNoiseFloor(FLOOR_WINDOW, LEAST_FLOOR, FIRST_FLOOR);

  /** Frames are counted from `firstSample`. */
  let frame = 0;
  const loudFrames: number[] = [];
  let speech: { readonly onset: number; readonly from: number; lastLoud: number } | undefined;
  /** No utterance begins before the end of the one before it. */
  let earliest = 0;

  const toSample = (frames: number): number => firstSample + frames * FRAME_SAMPLES;
  const utterance = (going: { readonly from: number; readonly lastLoud: number }, limit: number): Utterance => ({
    start: toSample(going.from),
    end: toSample(Math.min(limit, going.lastLoud + 1 + AFTER_MS / FRAME_MS)),
  });
  const finish = (going: { readonly from: number; readonly lastLoud: number }, limit: number): EndpointEvent => {
    const cut = utterance(going, limit);
    earliest = (cut.end - firstSample) / FRAME_SAMPLES;
    speech = undefined;
    loudFrames.length = 0;
    return { type: 'ended', utterance: cut };
  };

  const waiting = (now: number): EndpointEvent[] => {
    while ((loudFrames[0] ?? now) <= now - ONSET_WINDOW) loudFrames.shift();
    const onset = loudFrames[0];
    if (onset === undefined || loudFrames.length < ONSET_FRAMES) return [];
    speech = { onset, from: Math.max(earliest, onset - BEFORE_MS / FRAME_MS, 0), lastLoud: now };
    return [{ type: 'started', at: toSample(onset) }];
  };

  const speaking = (going: NonNullable<typeof speech>, now: number, loud: boolean): EndpointEvent[] => {
    const silence = now - going.lastLoud;
    if (loud) going.lastLoud = now;
    const events: EndpointEvent[] = loud && silence > pauseFrames ? [{ type: 'resumed' }] : [];
    if (silence >= endFrames || now - going.from + 1 >= maxFrames) return [...events, finish(going, now + 1)];
    return !loud && silence === pauseFrames ? [{ type: 'paused', utterance: utterance(going, now + 1) }] : events;
  };

  return {
    next(samples) {
      const now = frame;
      frame += 1;
      const level = levels(samples);
      const above = Math.max(level.voice - voiceFloor.next(level.voice), level.hiss - hissFloor.next(level.hiss));
      if (speech !== undefined) return speaking(speech, now, above >= OFF_DB);
      if (above >= ON_DB) loudFrames.push(now);
      return waiting(now);
    },
    flush() {
      return speech === undefined ? [] : [finish(speech, frame)];
    },
    get needed() {
      const from =
        speech?.from ?? Math.max(earliest, Math.min(loudFrames[0] ?? frame, frame) - BEFORE_MS / FRAME_MS, 0);
      return toSample(Math.min(from, frame));
    },
  };
}
