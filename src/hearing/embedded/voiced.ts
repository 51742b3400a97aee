import { SAMPLE_RATE } from '../../units/time.ts';
import { createBandLevels, FRAME_SAMPLES } from '../band-levels.ts';

/** Sound exceeds the floor by this part of the way to the peak, in dB, and at least by the rise below. */
const SHARE = 0.35;
const LEAST_RISE = 6;
/** Percentiles taken for floor and peak, so that one click or one dropout sets neither. */
const FLOOR_SHARE = 0.1;
const PEAK_SHARE = 0.95;
/** Shorter runs of loud frames are beats of the engine, not speech. */
const LEAST_RUN = 3;

/** For each 10 ms frame of an utterance, whether it holds speech sound. */
export type VoicedFrames = readonly boolean[];

/** A stretch of time in seconds from the utterance's first sample. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

const FRAME_SECONDS = FRAME_SAMPLES / SAMPLE_RATE;

/**
 * Longest silence, in seconds, that a word may keep at its start and at its end. The engine's own edges are nearer to
 * the truth than the sound's; but over noise it starts a first word early, and now and then one swallows a pause.
 * A word's end fades into noise: only a long silence there is one.
 */
const LEAD = 0.12;
const TAIL = 0.3;

/** The span without long silences at its edges; as it is when there is no sound in it. */
export function withoutPauses(span: Span, voiced: VoicedFrames): Span {
  const from = Math.max(0, Math.floor(span.start / FRAME_SECONDS));
  const inside = voiced.slice(from, Math.ceil(span.end / FRAME_SECONDS));
  const first = inside.indexOf(true);
  if (first < 0) return span;
  const start = (from + first) * FRAME_SECONDS;
  const end = (from + inside.lastIndexOf(true) + 1) * FRAME_SECONDS;
  return { start: start - span.start > LEAD ? start : span.start, end: span.end - end > TAIL ? end : span.end };
}

/** Longest sound right before or after a callout that still belongs to it, in seconds: the fading end of a nasal. */
const MOST_GROWTH = 0.15;

/**
 * The span of a whole callout with the sound that runs on from its edges, which the engine leaves to silence. `bridge`: so many frames
 * without sound may lie in it at the end, where the "o" of a "zero" falls and rises once more as it fades.
 */
export function withAdjoiningSound(span: Span, sounding: VoicedFrames, bridge = 0): Span {
  const most = Math.round(MOST_GROWTH / FRAME_SECONDS);
  const first = Math.round(span.start / FRAME_SECONDS);
  const last = Math.round(span.end / FRAME_SECONDS);
  let before = 0;
  while (before < most && sounding[first - before - 1] === true) before += 1;
  let after = 0;
  for (let at = 0; at < most && at - after <= bridge; at += 1) if (sounding[last + at] === true) after = at + 1;
  return { start: span.start - before * FRAME_SECONDS, end: span.end + after * FRAME_SECONDS };
}

/** How far below its loudest frame speech still sounds, in dB. */
const FADES_TO = -35;

/** Which 10 ms frames sound at all, in the whole band: the murmur of an "n" lies below the bands of `voicedFrames`. */
export function soundingFrames(samples: Float32Array): VoicedFrames {
  const levels: number[] = [];
  for (let from = 0; from + FRAME_SAMPLES <= samples.length; from += FRAME_SAMPLES) {
    const frame = samples.subarray(from, from + FRAME_SAMPLES);
    levels.push(10 * Math.log10(frame.reduce((sum, x) => sum + x * x, 0) / FRAME_SAMPLES + 1e-12));
  }
  const sorted = [...levels].sort((a, b) => a - b);
  const floor = sorted[Math.floor(FLOOR_SHARE * (sorted.length - 1))] ?? 0;
  const threshold = Math.max(floor + LEAST_RISE, (sorted.at(-1) ?? 0) + FADES_TO);
  return levels.map((level) => level >= threshold);
}

/**
 * Which 10 ms frames of an utterance hold speech sound, judged in the bands of speech against the utterance's own
 * floor: over a diesel the whole spectrum would call every firing a sound.
 */
export function voicedFrames(samples: Float32Array): VoicedFrames {
  const measure = createBandLevels();
  const levels: number[] = [];
  for (let from = 0; from + FRAME_SAMPLES <= samples.length; from += FRAME_SAMPLES) {
    const { voice, hiss } = measure(samples.subarray(from, from + FRAME_SAMPLES));
    levels.push(Math.max(voice, hiss));
  }
  const sorted = [...levels].sort((a, b) => a - b);
  const at = (share: number): number => sorted[Math.floor(share * (sorted.length - 1))] ?? 0;
  const floor = at(FLOOR_SHARE);
  const threshold = floor + Math.max(LEAST_RISE, SHARE * (at(PEAK_SHARE) - floor));
  return withoutShortRuns(levels.map((level) => level >= threshold));
}

function withoutShortRuns(loud: readonly boolean[]): boolean[] {
  const kept = [...loud];
  let run = 0;
  for (let frame = 0; frame <= loud.length; frame += 1) {
    if (loud[frame] === true) run += 1;
    else {
      if (run < LEAST_RUN) kept.fill(false, frame - run, frame);
      run = 0;
    }
  }
  return kept;
}
