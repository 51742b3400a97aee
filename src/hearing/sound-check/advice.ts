import { SAMPLE_RATE } from '../../units/time.ts';
import { TOO_MUCH_CUT } from './cut-off.ts';
import { NOTHING_DB, type SoundFigures } from './figures.ts';

/**
 * What a sound check says to do, with the figure that is the reason.
 * - `silent`: not even the noise of a device came.
 * - `unheard`: no phrase stood out; over noise it may have been drowned, in `quiet` it was not spoken, or elsewhere.
 * - `clips`: the loud parts are cut off.
 * - `faint`: so little comes that the ear's beginning and end of words suffer.
 * - `drowned`: the noise is so near that callouts will be lost.
 * - `noisy`: the noise is near enough to lose some.
 * - `narrow`: the sound has no treble, as of a telephone.
 */
export type Advice =
  | { readonly is: 'silent' }
  | { readonly is: 'unheard'; readonly floor: number; readonly quiet: boolean }
  | { readonly is: 'clips'; readonly clipped: number }
  | { readonly is: 'faint'; readonly level: number }
  | { readonly is: 'drowned'; readonly snr: number }
  | { readonly is: 'noisy'; readonly snr: number }
  | { readonly is: 'narrow'; readonly rate: number };

/** Of 14 readings all were heard at -55 dB, 12 at -60 dB (`tests/bench/README.md`, sound check). */
const FAINT_DB = -55;
/** A cab with more noise than this is not quiet: what is spoken near the microphone may be drowned. Ours, no source. */
const LOUD_CAB_DB = -45;
/** At 15 dB of diesel nothing had to be said twice, at 10 dB 30 of 37 callouts were heard (`tests/bench/README.md`). */
const GOOD_SNR_DB = 15;
const LEAST_SNR_DB = 10;
/** Speech and noise fall by 20 to 35 dB to these heights; what a device of 8 kHz gives lacks them wholly, 60 dB and more. */
const NARROW_DROP_DB = 48;

/** What to do, the worst first; empty when nothing is to be done. */
export function adviceOf({ rate, floor, loudest, phrase }: SoundFigures): readonly Advice[] {
  if (loudest < NOTHING_DB) return [{ is: 'silent' }];
  if (phrase === undefined) return [{ is: 'unheard', floor, quiet: floor < LOUD_CAB_DB }];
  const { level, snr, clipped, trebleDrop } = phrase;
  const found: readonly (Advice | undefined)[] = [
    clipped >= TOO_MUCH_CUT ? { is: 'clips', clipped } : undefined,
    snr < LEAST_SNR_DB ? { is: 'drowned', snr } : snr < GOOD_SNR_DB ? { is: 'noisy', snr } : undefined,
    level < FAINT_DB ? { is: 'faint', level } : undefined,
    rate < SAMPLE_RATE || trebleDrop > NARROW_DROP_DB ? { is: 'narrow', rate } : undefined,
  ];
  return found.filter((advice) => advice !== undefined);
}
