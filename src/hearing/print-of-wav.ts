import { SAMPLE_RATE } from '../units/time.ts';
import { createResampler } from './resampler.ts';
import { soundPrint, type SoundPrint } from './sound-print.ts';
import { readWav } from './wav.ts';

/** The print of a clip as it is kept; undefined of one that cannot be read, or is too short. */
export function printOfWav(bytes: Uint8Array): SoundPrint | undefined {
  const read = readWav(bytes, '');
  if (!read.ok) return undefined;
  const { samples, rate } = read.value;
  if (rate < 1000 || rate > 768_000) return undefined;
  return soundPrint(rate === SAMPLE_RATE ? samples : createResampler(rate).push(samples));
}
