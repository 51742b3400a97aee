import { msToSamples, samplesToMs, type Ms } from '../../units/time.ts';
import { FRAME_SAMPLES } from '../band-levels.ts';
import { createEndpointer } from '../endpointer.ts';
import { keepSound } from '../kept-sound.ts';
import { createResampler, type Resampler } from '../resampler.ts';
import { CutOffCount } from './cut-off.ts';
import { BLOCK, figuresOf, LEAST_DB, levelOf, NOTHING_DB, type SoundFigures } from './figures.ts';

/** Where a sound check stands: the cab alone is listened to, then a phrase is asked for, then all is measured. */
type SoundCheckStage = 'quiet' | 'phrase' | 'measured';

export interface SoundCheckView {
  readonly stage: SoundCheckStage;
  /** Level of the last 32 ms, dB re full scale. */
  readonly level: number;
  /** With `measured`. */
  readonly figures?: SoundFigures;
}

/** A sound check by the sound alone. Time is that of the sound; after `measured` nothing changes any more. */
export interface SoundCheckCourse {
  /** Takes the next mono samples of a device, +-1, at a rate in Hz that may change. */
  push(samples: Float32Array, rate: number): void;
  readonly view: SoundCheckView;
  /** Where the phrase was asked for, and how much sound was taken in until now, in ms from the first sample. */
  readonly askedAt: Ms | undefined;
  readonly takenIn: Ms;
}

/** So long the cab is listened to; longer while somebody speaks, up to the second. */
const QUIET_MS = 2000;
const MOST_QUIET_MS = 6000;
/** Of which the noise is measured, at its end. */
const NOISE_MS = 1500;
/** Who has not begun by then, or not ended, is not waited for. The phrase takes some 4 s. */
const MOST_PHRASE_MS = 12_000;
/** So long nothing at all, once the phrase was asked for, is a device that gives nothing. */
const SILENT_MS = 2000;
/** What is shorter is no phrase but a knock or a cough. */
const LEAST_PHRASE_MS = 700;
/** Silence that ends the phrase: it has a pause between the needles. */
const END_SILENCE_MS = 1000;
/** An utterance of the endpointer ends so long after its sound. */
const AFTER_MS = 200;

export function createSoundCheck(): SoundCheckCourse {
  const kept = keepSound(0);
  const endpointer = createEndpointer({ endSilenceMs: END_SILENCE_MS });
  let resampler: { readonly rate: number; readonly stream: Resampler } | undefined;
  let cutOff = new CutOffCount();
  let next = 0;
  let loudest = LEAST_DB;
  let speaking: number | undefined;
  let asked: number | undefined;
  let view: SoundCheckView = { stage: 'quiet', level: LEAST_DB };

  const measure = (phrase: Float32Array | undefined): void => {
    const quiet = kept.cut((asked ?? 0) - msToSamples(NOISE_MS), asked ?? 0);
    const figures = figuresOf({
      quiet,
      loudest,
      rate: resampler?.rate ?? 0,
      clipped: cutOff.share,
      ...(phrase === undefined ? {} : { phrase }),
    });
    view = { ...view, stage: 'measured', figures };
  };

  const isMeasured = (): boolean => view.stage === 'measured';

  const ask = (): void => {
    asked = next;
    cutOff = new CutOffCount();
    view = { ...view, stage: 'phrase' };
  };

  const takeFrame = (): void => {
    const frame = kept.cut(next, next + FRAME_SAMPLES);
    next += FRAME_SAMPLES;
    const level = levelOf(kept.cut(next - BLOCK, next));
    loudest = Math.max(loudest, level);
    view = { ...view, level };
    for (const event of endpointer.next(frame)) {
      if (event.type === 'started') speaking = event.at;
      if (event.type !== 'ended') continue;
      const from = speaking ?? event.utterance.start;
      speaking = undefined;
      const to = event.utterance.end - msToSamples(AFTER_MS);
      if (asked !== undefined && from >= asked && samplesToMs(to - from) >= LEAST_PHRASE_MS) {
        measure(kept.cut(from, to));
        return;
      }
    }
    if (asked === undefined) {
      const ms = samplesToMs(next);
      if (ms >= QUIET_MS && (speaking === undefined || ms >= MOST_QUIET_MS)) ask();
    } else if (samplesToMs(next - asked) >= (loudest < NOTHING_DB ? SILENT_MS : MOST_PHRASE_MS))
      measure(speaking !== undefined && speaking >= asked ? kept.cut(speaking, next) : undefined);
  };

  return {
    push(samples, rate) {
      if (isMeasured()) return;
      if (resampler?.rate !== rate) {
        if (resampler !== undefined) kept.append(resampler.stream.flush());
        resampler = { rate, stream: createResampler(rate) };
      }
      cutOff.push(samples);
      kept.append(resampler.stream.push(samples));
      while (next + FRAME_SAMPLES <= kept.to && !isMeasured()) takeFrame();
    },
    get view() {
      return view;
    },
    get askedAt() {
      return asked === undefined ? undefined : samplesToMs(asked);
    },
    get takenIn() {
      return samplesToMs(kept.to);
    },
  };
}
