import FFT from 'fft.js';
import { SAMPLE_RATE } from '../units/time.ts';
import { spectralFlatness } from './sound-features.ts';

/** What a sound of the cab may have been: a tone that holds, as a low-air buzzer's; air let go at once, as by a valve or a dryer. */
type CabSoundKind = 'steady-tone' | 'air-burst';

/** A sound of the cab, proposed: by the sound alone nobody knows what made it. */
export interface CabSound {
  readonly kind: CabSoundKind;
  /** How long before the end of the sound that has been worked through it began, in ms. */
  readonly ago: number;
}

export interface CabSoundWatch {
  /** Takes the next block: 512 mono samples at 16 kHz. */
  next(block: Float32Array): void;
  /** What was found since the last call. */
  take(): readonly CabSound[];
}

const BLOCK = 512;
const BLOCK_MS = (BLOCK * 1000) / SAMPLE_RATE;
/** After Hann. */
const WINDOW = Float64Array.from({ length: BLOCK }, (_, at) => 0.5 - 0.5 * Math.cos((2 * Math.PI * at) / BLOCK));
const HZ_PER_BIN = SAMPLE_RATE / BLOCK;
const bin = (hz: number): number => Math.round(hz / HZ_PER_BIN);

/** The band in which buzzers sound and the rumble of a diesel does not reach. No source for it: see the tests. */
const TONE_FROM = bin(600);
const TONE_TO = bin(5500);
/** Share of the band's power that the strongest line and its neighbours must have. */
const TONE_SHARE = 0.3;
/** Blocks looked back over, and how many of them must have the same line: a tone that is broken (beeps) counts, a vowel does not. */
const TONE_BLOCKS = Math.round(1200 / BLOCK_MS);
const TONE_HITS = Math.ceil(TONE_BLOCKS * 0.6);
/** Below it a line is the hum of some device; dB re full scale. */
const LEAST_TONE_DB = -60;

/** A burst is loud in both bands at once, which "s" and "sh" are not, and even within each, which vowels are not. */
const LOW_BAND = [bin(500), bin(2000)] as const;
const HIGH_BAND = [bin(2500), bin(7000)] as const;
/** How far both bands rise above their level of the last second, in dB. */
const BURST_RISE_DB = 7;
/** Geometric to arithmetic mean of the power in each band; white noise has 0.56 (e to the minus Euler's constant). */
const BURST_FLATNESS = 0.35;
/** Blocks that it lasts, at least: a click or a slammed door is over sooner. */
const BURST_BLOCKS = Math.round(250 / BLOCK_MS);
const LEVELS_KEPT = Math.round(1000 / BLOCK_MS);

/**
 * Proposes sounds of the cab, by their spectrum in blocks of 32 ms. Each is proposed once, when it has lasted long enough, and again
 * only after it has been away for as long as the tone is looked back over.
 */
export function createCabSoundWatch(): CabSoundWatch {
  const fft = new FFT(BLOCK);
  const spectrum = fft.createComplexArray() as number[];
  const windowed = new Array<number>(BLOCK).fill(0);
  const powers = new Float64Array(BLOCK / 2);
  let found: CabSound[] = [];
  const tone = toneWatch();
  const burst = burstWatch();

  const tell = (kind: CabSoundKind, began: number | undefined): void => {
    if (began !== undefined) found.push({ kind, ago: began * BLOCK_MS });
  };
  return {
    next(block) {
      // Sounds that wait to be taken grow older.
      found = found.map(({ kind, ago }) => ({ kind, ago: ago + BLOCK_MS }));
      for (let at = 0; at < BLOCK; at += 1) windowed[at] = (block[at] ?? 0) * (WINDOW[at] ?? 0);
      fft.realTransform(spectrum, windowed);
      for (let at = 0; at < powers.length; at += 1)
        powers[at] = (spectrum[2 * at] ?? 0) ** 2 + (spectrum[2 * at + 1] ?? 0) ** 2;
      tell('steady-tone', tone(powers));
      tell('air-burst', burst(powers));
    },
    take() {
      const taken = found;
      found = [];
      return taken;
    },
  };
}

/** Gives, when a tone has held, how many blocks ago it began. */
function toneWatch(): (powers: Float64Array) => number | undefined {
  const lines: (number | undefined)[] = [];
  let telling: number | undefined;
  return (powers) => {
    lines.push(lineOf(powers));
    if (lines.length > TONE_BLOCKS) lines.shift();
    const near = (line: number | undefined, other: number): boolean =>
      line !== undefined && Math.abs(line - other) <= 1;
    if (telling !== undefined) {
      const still = telling;
      // As long as it is there at all, it is the same tone.
      if (!lines.some((line) => near(line, still))) telling = undefined;
      return undefined;
    }
    const now = lines.at(-1);
    if (now === undefined || lines.filter((line) => near(line, now)).length < TONE_HITS) return undefined;
    telling = now;
    return lines.length - lines.findIndex((line) => near(line, now));
  };
}

/** The strongest line of the band, when it stands out of everything else in it. */
function lineOf(powers: Float64Array): number | undefined {
  let strongest = TONE_FROM;
  let sum = 0;
  for (let at = TONE_FROM; at <= TONE_TO; at += 1) {
    const power = powers[at] ?? 0;
    sum += power;
    if (power > (powers[strongest] ?? 0)) strongest = at;
  }
  const line = (powers[strongest - 1] ?? 0) + (powers[strongest] ?? 0) + (powers[strongest + 1] ?? 0);
  return line >= TONE_SHARE * sum && decibels(line) >= LEAST_TONE_DB ? strongest : undefined;
}

/** Gives, when a burst has lasted, how many blocks ago it began. */
function burstWatch(): (powers: Float64Array) => number | undefined {
  const before: { readonly low: number; readonly high: number }[] = [];
  let lasted = 0;
  return (powers) => {
    const level = { low: decibels(mean(powers, LOW_BAND)), high: decibels(mean(powers, HIGH_BAND)) };
    const rose = (band: 'low' | 'high'): boolean =>
      level[band] - median(before.map((each) => each[band])) >= BURST_RISE_DB;
    const even = [LOW_BAND, HIGH_BAND].every((band) => flatness(powers, band) >= BURST_FLATNESS);
    const loud = before.length === LEVELS_KEPT && rose('low') && rose('high') && even;
    lasted = loud ? lasted + 1 : 0;
    // What is loud does not yet count as what went before it.
    if (!loud || lasted > LEVELS_KEPT) {
      before.push(level);
      if (before.length > LEVELS_KEPT) before.shift();
    }
    return lasted === BURST_BLOCKS ? BURST_BLOCKS : undefined;
  };
}

function mean(powers: Float64Array, [from, to]: readonly [number, number]): number {
  let sum = 0;
  for (let at = from; at <= to; at += 1) sum += powers[at] ?? 0;
  return sum / (to - from + 1);
}

function flatness(powers: Float64Array, [from, to]: readonly [number, number]): number {
  return spectralFlatness({ ampSpectrum: powers.subarray(from, to + 1) });
}

/** Of a power in the spectrum of a Hann-windowed block: a full-scale sine has about 0. */
function decibels(power: number): number {
  return 10 * Math.log10(power / (BLOCK / 4) ** 2 + 1e-12);
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Infinity;
}
