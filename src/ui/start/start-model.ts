import type { ReportReview } from '../../items/report-review.ts';
import type { BoardRig } from './standings.ts';
import type { RigSettings } from '../../judging/result.ts';
import type { CheckHead } from '../../record/record-store.ts';
import type { SoundReport } from '../../hearing/sound-watch.ts';
import type { RigDefaults } from '../../running/rig-defaults.ts';
import type { Pulse } from '../../running/pulse.ts';

/** Everything the start screen shows. */
export interface StartModel {
  readonly rigs: readonly RigSettings[];
  /** How each rig stands, by its id; absent of a rig that was never checked here. */
  readonly standings: ReadonlyMap<string, BoardRig>;
  /** Now, in ms since 1970. */
  readonly now: number;
  /** Names that are offered for the operator. */
  readonly people: readonly string[];
  readonly defaultsOf: (rig: string) => RigDefaults;
  readonly plans: readonly { readonly id: string; readonly title: string; readonly steps: number }[];
  readonly profiles: readonly { readonly id: string; readonly title: string }[];
  readonly unfinished: readonly CheckHead[];
  readonly past: readonly CheckHead[];
  /** Which ear would listen, or why none can. */
  readonly earLine: string;
  readonly soundCheck: 'idle' | 'starting' | 'running';
  /** How the sound is during the sound check. */
  readonly sound: Pulse<SoundReport | undefined>;
  /** Why the demo cannot be heard; empty while it can. */
  readonly demoProblem: string;
  readonly notices: readonly string[];
  /** A newer build is ready to be used. */
  readonly updateWaits: boolean;
}

export interface StartChoice {
  readonly rig: RigSettings;
  readonly operator: string;
  readonly planId: string;
  readonly profileId: string;
  /** The operator is examined. */
  readonly examination?: true;
  /** Signed before the check begins, where the limits ask for it. */
  readonly review?: ReportReview;
}
