import type { Problem } from '../units/outcome.ts';
import type { Ms } from '../units/time.ts';

export interface MicrophoneEvents {
  /** The next mono samples at `rate` Hz; the first of them was taken at `from` ms of the steady clock. */
  readonly sound: (samples: Float32Array, rate: number, from: number) => void;
  /** Sound was lost for so long, just before the next that comes. Nothing stands in for it. */
  readonly gap: (ms: Ms) => void;
  /** `listening`: sound comes from a device. `waiting`: none comes now (a problem was told). */
  readonly state: (state: 'listening' | 'waiting') => void;
  readonly problem: (problem: Problem) => void;
}

export interface Microphone {
  /** Asks for the device again, after a refusal; call it from a touch or key, which also wakes a paused audio context. */
  retry(): Promise<void>;
  /** Lets go of the device. No event follows. */
  stop(): void;
}
