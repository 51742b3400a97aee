import { samplesToMs, type Ms } from '../units/time.ts';
import { FRAME_SAMPLES } from './band-levels.ts';
import { keepSound } from './kept-sound.ts';
import { createResampler, type Resampler } from './resampler.ts';
import { createSoundWatch, type SoundReport } from './sound-watch.ts';

/** What is done with the sound, frame by frame. */
export interface SoundWork {
  /** The next 10 ms frame; `next` is the sample after its last. */
  readonly frame: (frame: Float32Array, next: number) => Promise<void>;
  /** The oldest sample that is still wanted. */
  readonly needed: () => number;
  /** Every 100 ms of sound, after its last frame. */
  readonly clock: (now: Ms, sound: SoundReport, needed: number) => Promise<void>;
}

export interface SoundIntake {
  /** Resolves when all of it has been worked through. One call at a time. */
  push(samples: Float32Array, rate: number): Promise<void>;
  /** Works through what the resampler still holds: no more sound of this rate comes. */
  flush(): Promise<void>;
  /** The oldest sample that is still kept. */
  readonly keptFrom: number;
  /** The sound between two samples, as far as it is still kept. */
  cut(from: number, to: number): Float32Array;
}

const CLOCK_SAMPLES = 10 * FRAME_SAMPLES;

/** Sound of any rate in, 10 ms frames at 16 kHz out; what is needed of it is kept. `clockUntil`: up to there the clock has been told. */
export function createSoundIntake(
  { firstSample, clockUntil }: { readonly firstSample: number; readonly clockUntil: number },
  work: SoundWork,
): SoundIntake {
  const watch = createSoundWatch();
  let resampler: { readonly rate: number; readonly stream: Resampler } | undefined;
  const kept = keepSound(firstSample);
  let next = firstSample;

  const workThrough = async (): Promise<void> => {
    while (next + FRAME_SAMPLES <= kept.to) {
      const frame = kept.cut(next, next + FRAME_SAMPLES);
      next += FRAME_SAMPLES;
      watch.push(frame);
      await work.frame(frame, next);
      if ((next - firstSample) % CLOCK_SAMPLES === 0 && next > clockUntil) {
        await work.clock(samplesToMs(next), watch.report(), work.needed());
      }
    }
  };

  return {
    get keptFrom() {
      return kept.from;
    },
    cut: (from, to) => kept.cut(from, to),
    async push(samples, rate) {
      if (resampler?.rate !== rate) {
        if (resampler !== undefined) kept.append(resampler.stream.flush());
        resampler = { rate, stream: createResampler(rate) };
      }
      kept.append(resampler.stream.push(samples));
      await workThrough();
      kept.forget(Math.min(next, work.needed()));
    },
    async flush() {
      if (resampler !== undefined) kept.append(resampler.stream.flush());
      resampler = undefined;
      await workThrough();
    },
  };
}
