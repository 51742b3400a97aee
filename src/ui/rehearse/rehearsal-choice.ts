import type { Scenario } from '../../airsystem/scenario.ts';
import type { LevelId } from '../../rehearsal/level.ts';
import { LEVELS } from '../../rehearsal/level.ts';
import type { SmallStore } from '../../running/settings.ts';

/** What the trainee chose on the setup form. */
export interface RehearsalChoice {
  readonly trainee: string;
  readonly scenario: Scenario;
  /** Only where a fault is hidden. */
  readonly seed?: number;
  readonly level: LevelId;
  readonly planId: string;
  readonly profileId: string;
  /** Cues move the controls they speak of. */
  readonly cuesMove: boolean;
}

/** The last choice on this device, offered again. */
export interface LastChoice {
  readonly trainee: string;
  readonly scenario: string;
  readonly level: LevelId;
  readonly planId: string;
  readonly profileId: string;
  readonly cuesMove: boolean;
}

const STORED = 'rehearsal';
const FIRST: LastChoice = {
  trainee: '',
  scenario: 'engine-31-healthy',
  level: 'told',
  planId: 'full-cab-check',
  profileId: 'fire-practice',
  cuesMove: true,
};

/** What was stored; whatever is missing or of another kind is as for a first visit. */
export function lastChoice(small: SmallStore): LastChoice {
  const stored = small.get(STORED);
  if (typeof stored !== 'object' || stored === null) return FIRST;
  const { trainee, scenario, level, planId, profileId, cuesMove } = stored as Partial<
    Record<keyof LastChoice, unknown>
  >;
  const text = (value: unknown, fallback: string): string => (typeof value === 'string' ? value : fallback);
  return {
    trainee: text(trainee, FIRST.trainee),
    scenario: text(scenario, FIRST.scenario),
    level: LEVELS.find((each) => each === level) ?? FIRST.level,
    planId: text(planId, FIRST.planId),
    profileId: text(profileId, FIRST.profileId),
    cuesMove: cuesMove !== false,
  };
}

export function keepChoice(small: SmallStore, choice: RehearsalChoice): void {
  const { trainee, scenario, level, planId, profileId, cuesMove } = choice;
  small.set(STORED, { trainee, scenario: scenario.id, level, planId, profileId, cuesMove } satisfies LastChoice);
}
