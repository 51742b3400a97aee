import FFT from 'fft.js';
import { SAMPLE_RATE } from '../../units/time.ts';
import { rms } from '../sound-features.ts';

/** What a sound check measured. Levels in dB re full scale: a full-scale square wave has 0, a full-scale sine -3.01. */
export interface SoundFigures {
  /** Hz at which the microphone gave its sound. */
  readonly rate: number;
  /** Level of the cab while nobody spoke. */
  readonly floor: number;
  /** Level of the loudest 32 ms of all. */
  readonly loudest: number;
  /** Absent when no speech stood out of the cab's noise. */
  readonly phrase?: PhraseFigures;
}

interface PhraseFigures {
  /** Level from the first sound of the phrase to its last, with the noise that is in it. */
  readonly level: number;
  /**
   * How far the speech stands above the noise, in dB: its mean power, without the noise's, over the noise's. So the bench counts it, whose
   * figures say what the ear hears at each. -20 stands for that and anything below.
   */
  readonly snr: number;
  /** Share of the device's samples that are cut off at full scale, 0 to 1. */
  readonly clipped: number;
  /** How far the sound between 4.5 and 7 kHz lies below that between 0.3 and 3.4 kHz, per Hz, in dB. */
  readonly trebleDrop: number;
}

/** The sound of a check, all mono at 16 kHz and +-1; empty is an error of the programmer. */
export interface CheckedSound {
  /** The cab alone. */
  readonly quiet: Float32Array;
  /** The phrase from its first sound to its last; absent when none stood out. */
  readonly phrase?: Float32Array;
  /** The loudest 32 ms of all, in dB. */
  readonly loudest: number;
  /** The device's rate in Hz, and the share of its samples during the phrase that are cut off, 0 to 1. */
  readonly rate: number;
  readonly clipped: number;
}

export const BLOCK = 512;
/** Of digital silence. */
export const LEAST_DB = -100;
/** No device is so quiet, dB re full scale: the noise of 16 bits lies 8 dB below it. As a running check has it. */
export const NOTHING_DB = -90;
const LEAST_SNR_DB = -20;
const TREBLE = [4500, 7000] as const;
const SPEECH = [300, 3400] as const;

/** Level of samples in dB re full scale, by the root of their mean square; `LEAST_DB` for silence and for none. */
export function levelOf(signal: Float32Array): number {
  return signal.length === 0 ? LEAST_DB : Math.max(LEAST_DB, 20 * Math.log10(rms({ signal })));
}

export function figuresOf({ quiet, phrase, loudest, rate, clipped }: CheckedSound): SoundFigures {
  const floor = median(blocksOf(quiet).map(levelOf));
  if (phrase === undefined) return { rate, floor, loudest };
  const level = levelOf(phrase);
  return { rate, floor, loudest, phrase: { level, snr: snrOf(level, floor), clipped, trebleDrop: trebleDrop(phrase) } };
}

function snrOf(level: number, floor: number): number {
  const speech = 10 ** (level / 10) - 10 ** (floor / 10);
  return speech <= 0 ? LEAST_SNR_DB : Math.max(LEAST_SNR_DB, 10 * Math.log10(speech) - floor);
}

/** By the mean spectrum of blocks after Hann. */
function trebleDrop(samples: Float32Array): number {
  const fft = new FFT(BLOCK);
  const spectrum = fft.createComplexArray() as number[];
  const powers = new Float64Array(BLOCK / 2);
  for (const block of blocksOf(samples)) {
    fft.realTransform(
      spectrum,
      Array.from(block, (sample, at) => sample * (0.5 - 0.5 * Math.cos((2 * Math.PI * at) / BLOCK))),
    );
    for (let at = 0; at < powers.length; at += 1)
      powers[at] = (powers[at] ?? 0) + (spectrum[2 * at] ?? 0) ** 2 + (spectrum[2 * at + 1] ?? 0) ** 2;
  }
  const mean = ([from, to]: readonly [number, number]): number => {
    const band = powers.subarray(Math.round((from * BLOCK) / SAMPLE_RATE), Math.round((to * BLOCK) / SAMPLE_RATE));
    return band.reduce((sum, power) => sum + power, 0) / band.length;
  };
  return 10 * Math.log10((mean(SPEECH) + Number.EPSILON) / (mean(TREBLE) + Number.EPSILON));
}

/** Whole blocks of 32 ms; what is shorter is one block. */
function blocksOf(samples: Float32Array): Float32Array[] {
  const count = Math.max(1, Math.floor(samples.length / BLOCK));
  return Array.from({ length: count }, (_, at) => samples.subarray(at * BLOCK, (at + 1) * BLOCK));
}

/** A word in the middle of the quiet does not move it. */
function median(levels: readonly number[]): number {
  return [...levels].sort((a, b) => a - b)[Math.floor(levels.length / 2)] ?? LEAST_DB;
}
