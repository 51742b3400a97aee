import { createGapWatch, type Chunk } from './gap-watch.ts';
import type { MicrophoneEvents } from './microphone-port.ts';
import { gapProblem, MUTED, SUSPENDED } from './microphone-problems.ts';

/** Whether a device that is open gives sound. */
interface DeviceState {
  /** The browser takes sound from it; false when it has paused the sound. */
  readonly running: boolean;
  /** The system gives silence in its place. */
  readonly muted: boolean;
}

/** The sound of one open device, as the ear is to have it. */
export interface DeviceSound {
  /** The next sound, which arrived at `at` ms of the steady clock. */
  take(chunk: Chunk, at: number): void;
  /** How the device is now; to be called when it is opened and when it changes. */
  is(state: DeviceState): void;
}

/**
 * Tells of sound and of sound that was lost. What a muted device gives is no silence of the cab: nobody can be heard in it, so it is
 * dropped, and lost like any other. `rate` in Hz.
 */
export function deviceSound(
  rate: number,
  events: Pick<MicrophoneEvents, 'sound' | 'gap' | 'state' | 'problem'>,
): DeviceSound {
  const gaps = createGapWatch(rate);
  let muted = false;
  return {
    take(chunk, at) {
      // The watch finds the hole once there is sound again.
      if (muted) return;
      for (const passed of gaps.next(chunk, at)) {
        if (passed.type === 'sound') events.sound(passed.samples, rate, passed.from);
        else {
          events.problem(gapProblem(passed.ms));
          events.gap(passed.ms);
        }
      }
    },
    is(state) {
      ({ muted } = state);
      const problem = state.running ? (muted ? MUTED : undefined) : SUSPENDED;
      events.state(problem === undefined ? 'listening' : 'waiting');
      if (problem !== undefined) events.problem(problem);
    },
  };
}
