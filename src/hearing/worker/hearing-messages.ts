import type { Ruleset } from '../../grammar/ruleset.ts';
import type { Ms } from '../../units/time.ts';
import type { SegmenterOptions } from '../segmenter.ts';
import type { Heard } from '../port.ts';
import type { SoundReport } from '../sound-watch.ts';

/** To the worker. Sound is worked through in order; a ruleset applies at once, also to sound that already waits. */
export type ToWorker =
  | { readonly type: 'begin'; readonly model: string; readonly second?: string; readonly options: SegmenterOptions }
  | { readonly type: 'listenFor'; readonly ruleset: Ruleset }
  | { readonly type: 'sound'; readonly samples: Float32Array; readonly rate: number }
  | { readonly type: 'flush' }
  /** The answer to `heard` and `clock`: the worker may go on. */
  | { readonly type: 'go' };

/** From the worker. */
export type FromWorker =
  | { readonly type: 'loading'; readonly fraction: number }
  | { readonly type: 'ready' }
  | { readonly type: 'started'; readonly at: Ms }
  | { readonly type: 'heard'; readonly heard: Heard; readonly until: number }
  | { readonly type: 'clock'; readonly now: Ms; readonly sound: SoundReport; readonly needed: number }
  /** One `sound` or `flush` has been worked through. */
  | { readonly type: 'done' }
  /** The engine died and was replaced; what it was hearing is heard again. */
  | { readonly type: 'restarted'; readonly reason: string }
  | { readonly type: 'refused'; readonly reason: string }
  /** A line that the operator should see; hearing goes on. */
  | { readonly type: 'notice'; readonly line: string }
  /** The engine cannot go on. `loading`: it never began, so beginning again will not help. */
  | { readonly type: 'failed'; readonly reason: string; readonly loading: boolean };

/** A worker as the main thread sees it, whatever the host. */
export interface WorkerHandle {
  post(message: ToWorker): void;
  /** Called once each, before the first `post`. */
  onMessage(take: (message: FromWorker) => void): void;
  /** The worker ended or threw without having been told to. */
  onDeath(take: (reason: string) => void): void;
  terminate(): void;
}
