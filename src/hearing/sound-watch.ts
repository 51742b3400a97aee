import { SAMPLE_RATE } from '../units/time.ts';
import { createCabSoundWatch, type CabSound } from './cab-sounds.ts';
import { createNoiseFloor } from './noise-floor.ts';
import { rms } from './sound-features.ts';

/** How the sound is, for a meter and for a warning before a check starts. Levels in dB re full scale (a full-scale square wave is 0). */
export interface SoundReport {
  /** RMS of the last 32 ms. */
  readonly level: number;
  /** The steady noise. */
  readonly floor: number;
  /** How far the loudest sound of the last 5 s stands above the floor, in dB. */
  readonly snr: number;
  /** True when samples of the last second were at full scale three times in a row or more. */
  readonly clipped: boolean;
  /** Sounds of the cab that were found since the last report, when there are any. */
  readonly cabSounds?: readonly CabSound[];
}

export interface SoundWatch {
  /** Takes the next mono 16 kHz samples, any number. */
  push(samples: Float32Array): void;
  report(): SoundReport;
}

const BLOCK = 512;
const BLOCKS_PER_SECOND = SAMPLE_RATE / BLOCK;
const SPAN = Math.round(5 * BLOCKS_PER_SECOND);
const LEAST_LEVEL = -100;
/** Just under the largest 16-bit value. */
const FULL_SCALE = 0.9999;
const CLIPPED_RUN = 3;

export function createSoundWatch(): SoundWatch {
  const cab = createCabSoundWatch();
  const noiseFloor = createNoiseFloor(SPAN, LEAST_LEVEL);
  const block = new Float32Array(BLOCK);
  let filled = 0;
  let level = LEAST_LEVEL;
  let floor = LEAST_LEVEL;
  const recent: number[] = [];
  let run = 0;
  let sinceClipped = Infinity;

  const takeBlock = (): void => {
    level = Math.max(LEAST_LEVEL, 20 * Math.log10(rms({ signal: block })));
    floor = noiseFloor.next(level);
    recent.push(level);
    if (recent.length > SPAN) recent.shift();
    cab.next(block);
  };
  const watchClipping = (sample: number): void => {
    run = Math.abs(sample) >= FULL_SCALE ? run + 1 : 0;
    sinceClipped = run >= CLIPPED_RUN ? 0 : sinceClipped + 1;
  };

  return {
    push(samples) {
      for (const sample of samples) {
        watchClipping(sample);
        block[filled] = sample;
        filled += 1;
        if (filled === BLOCK) {
          takeBlock();
          filled = 0;
        }
      }
    },
    report() {
      const cabSounds = cab.take();
      return {
        level,
        floor,
        snr: Math.max(level, ...recent) - floor,
        clipped: sinceClipped < SAMPLE_RATE,
        ...(cabSounds.length === 0 ? {} : { cabSounds }),
      };
    },
  };
}
