import { createResampler } from '../resampler.ts';
import type { Note, Played } from '../../units/played.ts';
import { SAMPLE_RATE } from '../../units/time.ts';

/** What the loudspeaker was given, by the samples of the microphone. */
export interface PlayedSound {
  /** From sample `at` on this is played. */
  play(sound: Played, at: number): void;
  /** What was to be played from sample `at` on is not. */
  cut(at: number): void;
  /** All that was played was later by so many samples. */
  move(by: number): void;
  /** The samples `from` to `to`; zero where nothing is played. */
  samples(from: number, to: number): Float32Array;
  /** Pitches of the notes that sound between these samples, in turns a sample. */
  pitches(from: number, to: number): readonly number[];
  /** Where the last sound that is known of ends; -Infinity before there was one. */
  readonly end: number;
}

/** Sounds that are remembered: more than can be under way from the loudspeaker to the microphone. */
const MOST = 6;

export function createPlayedSound(): PlayedSound {
  let sounds: { from: number; samples: Float32Array; notes: readonly Note[] }[] = [];
  return {
    play({ samples, rate, notes = [] }, at) {
      const resampler = createResampler(Math.round(rate));
      const [most, rest] = [resampler.push(samples), resampler.flush()];
      const all = new Float32Array(most.length + rest.length);
      all.set(most);
      all.set(rest, most.length);
      const slower = SAMPLE_RATE / rate;
      const scaled = notes.map(({ from, to, pitch }) => ({
        from: from * slower,
        to: to * slower,
        pitch: pitch / slower,
      }));
      sounds = [...sounds.slice(1 - MOST), { from: Math.round(at), samples: all, notes: scaled }];
    },
    cut(at) {
      sounds = sounds.map(({ from, samples, notes }) => ({
        from,
        notes,
        samples: samples.subarray(0, Math.max(0, Math.min(samples.length, Math.round(at) - from))),
      }));
    },
    move(by) {
      sounds = sounds.map((sound) => ({ ...sound, from: sound.from + by }));
    },
    samples(from, to) {
      const out = new Float32Array(to - from);
      for (const { from: begin, samples } of sounds)
        for (let n = Math.max(from, begin); n < Math.min(to, begin + samples.length); n += 1)
          out[n - from] = (out[n - from] ?? 0) + (samples[n - begin] ?? 0);
      return out;
    },
    pitches(from, to) {
      const sounding = sounds.flatMap(({ from: begin, notes }) =>
        notes.filter((note) => begin + note.from < to && begin + note.to > from).map(({ pitch }) => pitch),
      );
      return [...new Set(sounding)];
    },
    get end() {
      return sounds.reduce((last, { from, samples }) => Math.max(last, from + samples.length), -Infinity);
    },
  };
}

/** Samples of 10 ms. */
export const FRAME = SAMPLE_RATE / 100;

/** The mean power of samples, in dB re full scale; not below -100. */
export function levelOf(samples: Float32Array): number {
  let sum = 0;
  for (const sample of samples) sum += sample * sample;
  return Math.max(-100, 10 * Math.log10(sum / Math.max(1, samples.length) + 1e-12));
}
