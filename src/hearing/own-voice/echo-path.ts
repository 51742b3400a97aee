import { SAMPLE_RATE } from '../../units/time.ts';
import { findDelay, type DelayRange } from './find-delay.ts';
import { FRAME, levelOf, type PlayedSound } from './played-sound.ts';
import { slidingProducts } from './sliding-products.ts';
import { solveToeplitz } from './toeplitz.ts';

/** The loudspeaker may be late by so much: the device, a browser, Bluetooth. */
const MOST_DELAY = 0.7 * SAMPLE_RATE;
/** The way from the loudspeaker to the microphone, as a filter: a cab's first reflections. It begins so long before the delay found. */
const TAPS = 512;
const HEAD = 96;
/** From one answer to the next the clocks of loudspeaker and microphone may be apart by so much. */
export const SHIFT = 0.1 * SAMPLE_RATE;
/** Chance reaches 4 among some thousand delays. */
const ANYWHERE: DelayRange = { least: 0, most: MOST_DELAY, standsOut: 6 };
/** What was learned longer ago than some ten seconds of speech counts little. */
const KEPT_PER_SAMPLE = 0.5 ** (1 / (8 * SAMPLE_RATE));
/** Sound that has come back, in frames, before a path is learned from it: less would fit any. The sweep has 35. */
const LEAST_ECHO = 38;
/** An echo that is where it was looked for makes the sound so much weaker, dB; chance, at the best of two thousand places, a fifth of that. */
const FOUND_DB = 1;
/** At the furthest place it has to make it so much weaker, dB: two voices are alike for a moment somewhere. */
const FURTHEST_DB = 3;
/** At another place it makes the sound weaker by so much more than where it was foreseen, or not at all. */
const MOVED_DB = 2;
/** A played frame with less, dB, is a pause. */
const SOUNDS_DB = -60;
/** The part of the sound's own power that the filter leaves unexplained, so that it stays small where nothing was learned; and the most of it. */
const LEAST = 1e-3;
const MOST = 0.3;

/** How what is played comes back into the microphone. */
export interface EchoPath {
  /** True once it has been found. */
  readonly known: boolean;
  /** From a sample that is played to where its echo may begin, and to the last of it. */
  readonly delay: number;
  readonly length: number;
  /**
   * Looks for the echo of what is played in what was heard from sample `from` on. False when there is none to be found: then what was
   * known before still holds.
   */
  find(heard: Float32Array, from: number, played: PlayedSound): boolean;
  /** True when what is known of the echo explains that sound far better at another place, which is then taken for it. */
  move(heard: Float32Array, from: number, played: PlayedSound): boolean;
  /** What is played is told later by so many samples than before: its echo comes so much sooner after it. */
  sooner(by: number): void;
  /** What was known is wrong: it is to be found anew. */
  forget(): void;
  /** Learns from what was heard without anybody speaking; `solve` makes use of it. */
  learn(heard: Float32Array, from: number, played: PlayedSound): void;
  solve(): void;
  /** The echo in the microphone, from sample `from` on. */
  echo(from: number, count: number, played: PlayedSound): Float32Array;
}

export function createEchoPath(): EchoPath {
  let delay: number | undefined;
  /** The last one first. */
  let taps: Float64Array | undefined;
  const own = new Float64Array(TAPS);
  const across = new Float64Array(TAPS);

  const echo = (from: number, count: number, played: PlayedSound): Float32Array => {
    if (taps === undefined || delay === undefined) return new Float32Array(count);
    const first = from - delay - (TAPS - 1);
    return Float32Array.from(slidingProducts(taps, played.samples(first, from + count - delay)));
  };

  const relearn = (at: number): void => {
    delay = at;
    taps = undefined;
    own.fill(0);
    across.fill(0);
  };

  const learn = (heard: Float32Array, from: number, played: PlayedSound): void => {
    if (delay === undefined) return;
    // The sound from where its echo most likely begins, so that both sums are of the same piece.
    const sound = flattened(played.samples(from - delay - TAPS - HEAD, from + heard.length - delay));
    const flat = flattened(heard);
    const kept = KEPT_PER_SAMPLE ** heard.length;
    // The first sample has nothing before it. A tap further back is a place nearer to the beginning.
    const auto = slidingProducts(sound.subarray(TAPS + 1, TAPS + heard.length), sound.subarray(2, TAPS + heard.length));
    const cross = slidingProducts(flat.subarray(1), sound.subarray(2 + HEAD, TAPS + HEAD + heard.length));
    for (let k = 0; k < TAPS; k += 1) {
      own[k] = (own[k] ?? 0) * kept + (auto[TAPS - 1 - k] ?? 0);
      across[k] = (across[k] ?? 0) * kept + (cross[TAPS - 1 - k] ?? 0);
    }
  };

  const solve = (): void => {
    const power = own[0] ?? 0;
    if (delay === undefined || power <= 0) return;
    // Sums over pieces of sound are not quite an autocorrelation: where they are none, more of the path has to stay small.
    for (let load = LEAST; load <= MOST; load *= 3) {
      const loaded = Float64Array.from(own);
      loaded[0] = power * (1 + load);
      const solved = solveToeplitz(loaded, across, load / 2);
      if (solved === undefined) continue;
      taps = solved.toReversed();
      return;
    }
  };

  /** Where what is known of it foresees the echo best, near to where it was. */
  const placeOf = (heard: Float32Array, from: number, played: PlayedSound): Place | undefined => {
    if (taps === undefined) return undefined;
    const foreseen = echo(from - SHIFT, heard.length + 2 * SHIFT, played);
    // Over an engine the high notes tell more of a soft echo, over hiss the low ones.
    return bestShift(flattened(heard), flattened(foreseen)) ?? bestShift(heard, foreseen);
  };

  const explains = (heard: Float32Array, from: number, played: PlayedSound): boolean =>
    gain(heard, echo(from, heard.length, played)) >= leastGain(heard.length);

  return {
    get known() {
      return taps !== undefined;
    },
    get delay() {
      return delay ?? 0;
    },
    get length() {
      return delay === undefined ? MOST_DELAY : delay + TAPS;
    },
    find(heard, from, played) {
      const place = placeOf(heard, from, played);
      if (place !== undefined && delay !== undefined) {
        delay += place.shift;
        return true;
      }
      const sound = played.samples(from - MOST_DELAY, from + heard.length);
      const found = findDelay(heard, sound, ANYWHERE);
      if (found === undefined || sounding(sound.subarray(0, sound.length - found)) < LEAST_ECHO) return false;
      const before = { delay, taps, own: own.slice(), across: across.slice() };
      relearn(found - HEAD);
      learn(heard, from, played);
      solve();
      if (explains(heard, from, played)) return true;
      ({ delay, taps } = before);
      own.set(before.own);
      across.set(before.across);
      return false;
    },
    move(heard, from, played) {
      const place = placeOf(heard, from, played);
      if (place === undefined || delay === undefined || place.better < MOVED_DB) return false;
      delay += place.shift;
      return true;
    },
    sooner(by) {
      if (delay !== undefined) delay -= by;
    },
    forget() {
      taps = undefined;
      delay = undefined;
    },
    learn,
    solve,
    echo,
  };
}

/** Speech is weak in its high notes; so that these are learned too, all are made of one strength. */
function flattened(sound: Float32Array): Float32Array {
  return sound.map((sample, n) => sample - 0.95 * (sound[n - 1] ?? 0));
}

interface Place {
  /** Samples. */
  readonly shift: number;
  /** By how much less is left of the sound than where the echo was foreseen, or without it; dB. */
  readonly better: number;
}

/**
 * How much later the echo comes than was foreseen, in samples, up to `SHIFT` either way: where it takes most of the sound away. `foreseen` begins
 * `SHIFT` samples before `sound` and ends as many after it. Undefined where it takes too little away anywhere: then it is not in the sound, or
 * somebody speaks over it.
 */
function bestShift(sound: Float32Array, foreseen: Float32Array): Place | undefined {
  const all = energy(sound, 0, sound.length);
  let power = energy(foreseen, 0, sound.length);
  let best = { left: Infinity, weighed: Infinity, from: SHIFT };
  let before = all;
  const products = slidingProducts(sound, foreseen);
  for (let from = 0; from <= 2 * SHIFT; from += 1) {
    const left = all - 2 * (products[from] ?? 0) + power;
    const weighed = left * 10 ** ((((FURTHEST_DB - FOUND_DB) / 10) * Math.abs(SHIFT - from)) / SHIFT);
    if (weighed < best.weighed) best = { left, weighed, from };
    if (from === SHIFT) before = Math.min(all, left);
    power += (foreseen[from + sound.length] ?? 0) ** 2 - (foreseen[from] ?? 0) ** 2;
  }
  const weaker = (one: number, other: number): number => 10 * Math.log10(one / Math.max(other, Number.MIN_VALUE));
  if (weaker(all, best.weighed) < FOUND_DB) return undefined;
  return { shift: SHIFT - best.from, better: weaker(before, best.left) };
}

function energy(sound: Float32Array, from: number, to: number): number {
  let sum = 0;
  for (let n = from; n < to; n += 1) sum += (sound[n] ?? 0) ** 2;
  return sum;
}

/** How much weaker the sound is without the echo, dB. */
function gain(heard: Float32Array, echo: Float32Array): number {
  return levelOf(heard) - levelOf(heard.map((sample, n) => sample - (echo[n] ?? 0)));
}

/** How much weaker the sound has to be without its echo, dB: twice what so many taps explain of as much noise, and a little. */
function leastGain(samples: number): number {
  return 10 * Math.log10(1 + (2 * TAPS) / samples) + 0.15;
}

/** Frames that are no pause. */
function sounding(sound: Float32Array): number {
  let frames = 0;
  for (let at = 0; at + FRAME <= sound.length; at += FRAME)
    if (levelOf(sound.subarray(at, at + FRAME)) > SOUNDS_DB) frames += 1;
  return frames;
}
