import type { ReportReview } from '../../items/report-review.ts';
import type { BoardRig } from './standings.ts';
import type { RigSettings } from '../../judging/result.ts';
import type { CheckHead } from '../../record/record-store.ts';
import type { NamedMicrophone } from '../../hearing/microphone-list.ts';
import type { RigDefaults } from '../../running/rig-defaults.ts';
import type { Pulse } from '../../running/pulse.ts';
import type { SoundTrialView } from '../../running/sound-trial.ts';

/** The sound check. */
export interface SoundTrialModel {
  /** `unavailable`: no sound comes, for the reason in `line`; it goes on when some does. */
  readonly state: 'idle' | 'starting' | 'running' | 'unavailable' | 'done';
  /** Which ear listens, or what is wrong. */
  readonly line: string;
  /** What can be chosen; empty until the browser lets the page use one. */
  readonly microphones: readonly NamedMicrophone[];
  readonly pulse: Pulse<SoundTrialView | undefined>;
}

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
  readonly trial: SoundTrialModel;
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
