import type { Plan } from '../../check/plan.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import type { NamedMicrophone } from '../../hearing/microphone-list.ts';
import type { Claims } from '../../record/claims.ts';
import type { RehearsalShelf } from '../../record/rehearsal-shelf.ts';
import type { Clock } from '../../units/clock.ts';
import type { Outcome } from '../../units/outcome.ts';
import type { Ear } from '../../running/ear.ts';
import type { DemoParts } from '../../running/demo-operator.ts';
import type { Language } from '../../running/language.ts';
import type { LiveParts, Speech } from '../../running/live-check.ts';
import type { NamedHearing } from '../../running/microphone-ear.ts';
import type { EarModels } from '../../running/ear-models.ts';
import type { Settings, SmallStore } from '../../running/settings.ts';
import type { ShelfKeeper } from '../../shelf/keeper.ts';
import type { Offline } from './offline.ts';

/** Everything the screens need, chosen by `app.ts`; tests choose other parts. */
export interface AppParts extends Clock, Pick<LiveParts, 'wav' | 'begun'> {
  readonly language: Language;
  readonly plans: readonly Plan[];
  readonly profiles: readonly LimitProfile[];
  readonly store: ChainedStore;
  readonly rehearsals: RehearsalShelf;
  /** What keeps the shelf of this device; absent where nothing is sealed. */
  readonly shelf: (() => Promise<ShelfKeeper>) | undefined;
  /** Which tab writes a check. */
  readonly claims: Claims;
  /** Settings and rigs of this device. */
  readonly small: SmallStore;
  readonly speech: (settings: () => Settings) => Speech;
  /** A fresh ear for the microphone. */
  readonly ear: (settings: () => Settings) => Ear;
  /** The microphones of this device that can be chosen. */
  readonly microphones: () => Promise<readonly NamedMicrophone[]>;
  /** Every ear of this device, for hearing recordings again: the embedded one first. */
  readonly ears: () => Promise<readonly NamedHearing[]>;
  /** The models of the Vosk ear on this device. */
  readonly earModels: EarModels;
  /** The made-up operator of the demo as an ear. */
  readonly demoEar: (check: DemoParts['check'], volume: number) => Promise<Outcome<Ear>>;
  /** What is kept for use without a network. */
  readonly offline: Offline;
  readonly newId: () => string;
  /** Keeps the screen lit until the returned function is called. */
  readonly stayAwake: () => () => void;
  readonly prefersDark: { readonly now: () => boolean; readonly onChange: (changed: () => void) => void };
}
